/**
 * The chain as one continuous schematic: eight cells of 120 × 100, the signal at half height from edge to edge, so that
 * neighbours join. On narrow screens a second set of leads (class `v`) draws it top to bottom with the captions beside it.
 */
import type { JSX } from 'preact';
import type { Stage } from '../chain.ts';
import { Mark } from './mark.tsx';
import { ProseLine } from './prose.tsx';

const across = (d: string): JSX.Element => <path class="h" d={d} />;
const down = (d: string): JSX.Element => <path class="v" d={d} />;
const Through = (): JSX.Element => (
  <>
    {across('M0 50H26M94 50H120')}
    {down('M60 -14V16M60 84V114')}
  </>
);
const Box = (): JSX.Element => <rect class="paper" x="26" y="16" width="68" height="68" />;
const Node = ({ x = 60, y = 50 }: { x?: number; y?: number }): JSX.Element => (
  <circle class="ink" cx={x} cy={y} r="2.5" />
);
const ground = (x: number, y: number): string => `M${x - 8} ${y}h16M${x - 5} ${y + 4}h10M${x - 2} ${y + 8}h4`;

/** A resistor to ground at the left end of the chain, with what makes it a sensor. */
const ResistiveSensor = ({ sign }: { sign: string }): JSX.Element => (
  <>
    <g class="h">
      <path d={`M60 50V56M60 82V88M60 50H120${ground(60, 88)}`} />
      <rect class="paper" x="53" y="56" width="14" height="26" />
      <path d="M43 85H47L75 53" />
      <text class="q" x="80" y="78">
        {sign}
      </text>
      <Node />
    </g>
    <g class="v">
      <path d="M14 50H20M46 50H60V114M14 42V58M10 45V55M6 48V52" />
      <rect class="paper" x="20" y="43" width="26" height="14" />
      <path d="M17 67V63L49 35" />
      <text class="q" x="30" y="30">
        {sign}
      </text>
    </g>
  </>
);

/** A voltage to ground at the left end of the chain. */
const VoltageSource = ({ sign }: { sign: string }): JSX.Element => (
  <>
    <g class="h">
      <path d={`M60 50V54M60 82V88M60 50H120${ground(60, 88)}`} />
      <circle class="paper" cx="60" cy="68" r="14" />
      <text class="q" x="60" y="73" text-anchor="middle">
        {sign}
      </text>
    </g>
    <g class="v">
      <path d="M14 50H20M48 50H60V114M14 42V58M10 45V55M6 48V52" />
      <circle class="paper" cx="34" cy="50" r="14" />
      <text class="q" x="34" y="55" text-anchor="middle">
        {sign}
      </text>
    </g>
  </>
);

const symbols: Readonly<Record<Stage['drawing'], (stage: Stage) => JSX.Element>> = {
  thermistor: () => <ResistiveSensor sign="ϑ" />,
  platinum: () => <ResistiveSensor sign="ϑ" />,
  voltage: () => <VoltageSource sign="ϑ" />,
  sensor: () => <VoltageSource sign="x" />,
  'resistive sensor': () => <ResistiveSensor sign="x" />,
  current: () => (
    <>
      <g class="h">
        <path d={`M60 14V56M60 82V88M60 50H120M56 30L60 38L64 30${ground(60, 88)}`} />
        <rect class="paper" x="53" y="56" width="14" height="26" />
        <text class="q" x="70" y="34">
          I
        </text>
        <Node />
      </g>
      <g class="v">
        <path d="M14 50H20M46 50H60M60 14V114M14 42V58M10 45V55M6 48V52M56 24L60 32L64 24" />
        <rect class="paper" x="20" y="43" width="26" height="14" />
        <text class="q" x="70" y="28">
          I
        </text>
        <Node />
      </g>
    </>
  ),
  potentiometer: () => (
    <>
      <g class="h">
        <path d={`M49 12H71M60 12V34M60 66V88M67 50H120M75 45L67 50L75 55${ground(60, 88)}`} />
        <rect class="paper" x="53" y="34" width="14" height="32" />
      </g>
      <g class="v">
        <path d="M8 50H18M50 50H84M84 40V60M34 57V84H60V114M29 65L34 57L39 65M8 42V58M4 45V55M0 48V52" />
        <rect class="paper" x="18" y="43" width="32" height="14" />
      </g>
    </>
  ),
  bridge: () => (
    <>
      <g class="h">
        <path d={`M28 50L56 22L84 50L56 78ZM45 12H67M56 12V22M56 78V88M84 50H120${ground(56, 88)}`} />
        <path d="M38 32L46 40M74 32L66 40M38 68L46 60M74 68L66 60" />
        <Node x={28} />
        <Node x={84} />
      </g>
      <g class="v">
        <path d="M60 18L88 46L60 74L32 46ZM32 46H22M22 38V54M18 41V51M14 44V48M88 46H98M98 36V56M60 74V114" />
        <path d="M42 28L50 36M78 28L70 36M42 64L50 56M78 64L70 56" />
        <Node y={18} />
        <Node y={74} />
      </g>
    </>
  ),
  amplifier: () => (
    <>
      {across('M0 50H30M90 50H120')}
      {down('M60 -14V20M60 80V114')}
      <g class="h">
        <path class="paper" d="M30 18V82L90 50Z" />
      </g>
      <g class="v">
        <path class="paper" d="M28 20H92L60 80Z" />
      </g>
    </>
  ),
  battery: () => (
    <>
      <g class="h">
        <path d={`M60 50V60M60 70V88M60 50H120${ground(60, 88)}`} />
        <path d="M44 60H76M51 70H69" />
        <Node />
      </g>
      <g class="v">
        <path d="M10 50H24M34 50H60V114M10 42V58M6 45V55M2 48V52" />
        <path d="M24 42V58M34 36V64" />
      </g>
    </>
  ),
  divider: () => (
    <>
      <g class="h">
        <path d="M0 50H120M60 50V42M60 16V8M49 8H71" />
        <rect class="paper" x="53" y="16" width="14" height="26" />
        <text class="q" x="76" y="13">
          V
          <tspan class="sub" dy="3">
            ref
          </tspan>
        </text>
        <Node />
      </g>
      <g class="v">
        <path d="M60 -14V114M60 50H72M98 50H106M106 40V60" />
        <rect class="paper" x="72" y="43" width="26" height="14" />
        <text class="q" x="86" y="34">
          V
          <tspan class="sub" dy="3">
            ref
          </tspan>
        </text>
        <Node />
      </g>
    </>
  ),
  'battery divider': () => (
    <>
      <g class="h">
        <path d={`M0 50H34M34 50H40M66 50H120M84 50V58M84 80V86${ground(84, 86)}`} />
        <rect class="paper" x="40" y="43" width="26" height="14" />
        <rect class="paper" x="77" y="58" width="14" height="22" />
        <Node x={84} />
      </g>
      <g class="v">
        <path d="M60 -14V8M60 34V114M60 56H46M24 56H16M16 48V64M12 51V61M8 54V58" />
        <rect class="paper" x="53" y="8" width="14" height="26" />
        <rect class="paper" x="24" y="49" width="22" height="14" />
        <Node y={56} />
      </g>
    </>
  ),
  wire: () => (
    <>
      {across('M0 50H120')}
      {down('M60 -14V114')}
    </>
  ),
  sampling: () => (
    <>
      <g class="h">
        <path d={`M0 50H30M34 48L56 34M60 50H120M84 50V64M74 64H94M74 70H94M84 70V84${ground(84, 84)}`} />
        <circle class="paper" cx="32" cy="50" r="2.6" />
        <circle class="paper" cx="58" cy="50" r="2.6" />
        <Node x={84} />
      </g>
      <g class="v">
        <path d="M60 -14V20M58 24L44 44M60 48V114M60 70H46M46 60V80M40 60V80M40 70H26M26 62V78M22 65V75M18 68V72" />
        <circle class="paper" cx="60" cy="22" r="2.6" />
        <circle class="paper" cx="60" cy="46" r="2.6" />
        <Node y={70} />
      </g>
    </>
  ),
  quantizing: () => (
    <>
      <Through />
      <Box />
      <path d="M34 74H42V64H50V54H58V44H66V34H74V26H86" />
    </>
  ),
  averaging: () => (
    <>
      <Through />
      <Box />
      <path d="M72 32V27H46L61 50L46 73H72V68" />
    </>
  ),
  code: ({ code }) => {
    const { bits, width, value } = code!;
    const w = 80 / width;
    return (
      <>
        {across('M0 50H20M100 50H120')}
        {down('M60 -14V40M60 60V114')}
        {Array.from({ length: width }, (_, i) => {
          const bit = width - 1 - i;
          const set = Math.floor(value / 2 ** bit) % 2 === 1;
          return bit >= bits ? (
            <path key={bit} d={`M${20 + i * w} 40h${w}v20h${-w}Zm0 20l${w} -20`} />
          ) : (
            <rect key={bit} class={set ? 'one' : 'paper'} x={20 + i * w} y="40" width={w} height="20" />
          );
        })}
      </>
    );
  },
  reading: ({ falling }) => (
    <>
      <Through />
      <Box />
      <path d={falling ? 'M36 24V76H86M38 30C48 56 62 66 84 69' : 'M36 24V76H86M38 70C54 66 70 50 84 30'} />
    </>
  ),
  watchdog: () => (
    <>
      {across('M0 50H26')}
      {down('M60 -14V16')}
      <Box />
      <path d="M32 34H88M32 66H88" stroke-dasharray="4 3" />
      <path d="M32 54C40 48 44 60 52 56S64 40 70 42S80 26 86 24" />
    </>
  ),
};

/** The slash over a digital path, with its number of bits. */
const Slash = ({ bits }: { bits: number }): JSX.Element => (
  <>
    <g class="h">
      <path d="M5 56L13 44" />
      <text x="9" y="38" text-anchor="middle">
        {bits}
      </text>
    </g>
    <g class="v">
      <path d="M54 11L66 5" />
      <text x="72" y="13">
        {bits}
      </text>
    </g>
  </>
);

/** The chain with its captions. */
export const ChainDrawing = ({ stages }: { stages: readonly Stage[] }): JSX.Element => (
  <ol class="chain" aria-label="The signal chain">
    {stages.map((stage) => (
      <li key={stage.name}>
        <svg class="ds" viewBox="0 0 120 100" aria-hidden="true">
          {stage.bits !== undefined && <Slash bits={stage.bits} />}
          {symbols[stage.drawing](stage)}
        </svg>
        <div class="txt">
          <span class="nm">{stage.name}</span>
          <span class="fg">
            <ProseLine text={stage.figure} />
          </span>
          <span class={stage.missed ? 'nt missed' : 'nt'}>
            {stage.missed && <Mark of="miss" />}
            <ProseLine text={stage.note} />
          </span>
        </div>
      </li>
    ))}
  </ol>
);

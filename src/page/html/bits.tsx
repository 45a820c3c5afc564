/** Registers in HTML, drawn as the code of the chain is: a cell a bit, those not in use struck out. */
import type { JSX } from 'preact';
import type { BitField, Register } from '../blocks.ts';
import { Mark } from './mark.tsx';
import { ProseLine } from './prose.tsx';

/** Side of a cell, and the room above for the numbers of bits, px. */
const side = 20;
const above = 15;

/** More bits than this get too small for lettering on a narrow screen. */
const legible = 22;

/** Bits whose number is written: the ends of the register, and those of what is in use. */
const numbered = ({ width, from, bits, dropped = 0 }: Register): number[] => [
  ...new Set([width - 1, from + bits - 1, from, dropped, 0]),
];

function RegisterDrawing({ register, columns }: { register: Register; columns: number }): JSX.Element {
  const { value, width, from, bits, dropped = 0, name } = register;
  const x = (bit: number): number => 1 + (columns - 1 - bit) * side;
  const set = (bit: number): boolean => Math.floor(value / 2 ** bit) % 2 === 1;
  const all = Array.from({ length: width }, (_, i) => width - 1 - i);
  const used = all.filter((bit) => bit >= from && bit < from + bits);
  const y = above + side - 5.5;
  return (
    <svg
      class={columns > legible ? 'bf many' : 'bf'}
      width={columns * side + 2}
      height={above + side + 2}
      viewBox={`0 0 ${columns * side + 2} ${above + side + 2}`}
      role="img"
      aria-label={`${name}, bits ${from + bits - 1} to ${from} of ${width}: ${used.map((bit) => Number(set(bit))).join('')}`}
    >
      {numbered(register).map((bit) => (
        <text key={`n${bit}`} class="no" x={x(bit) + side / 2} y="11">
          {bit}
        </text>
      ))}
      {all.map((bit) =>
        used.includes(bit) ? (
          <g key={bit}>
            <rect
              class={[set(bit) && bit >= dropped ? 'one' : '', bit < dropped ? 'lost' : ''].join(' ').trim()}
              x={x(bit)}
              y={above}
              width={side}
              height={side}
            />
            <text class={set(bit) && bit >= dropped ? 'on' : undefined} x={x(bit) + side / 2} y={y}>
              {Number(set(bit))}
            </text>
          </g>
        ) : (
          <path key={bit} d={`M${x(bit)} ${above}h${side}v${side}h${-side}Zm0 ${side}l${side} ${-side}`} />
        ),
      )}
    </svg>
  );
}

export const BitFieldBlock = ({ block }: { block: BitField }): JSX.Element => {
  const columns = Math.max(...block.registers.map((r) => r.width));
  return (
    <div data-bits={block.name}>
      {block.registers.map((register) => (
        <div key={register.name} class="reg">
          <p>
            <span class={register.wrong && 'missed'}>
              {register.wrong && <Mark of="miss" />}
              {register.name}:
            </span>{' '}
            <span class="held">
              <ProseLine text={[register.figures]} />
            </span>
          </p>
          <RegisterDrawing register={register} columns={columns} />
        </div>
      ))}
    </div>
  );
};

/** What a capacitor at the pin does to the reading: the two windows in which it serves, and what it costs to wait for. */
import { formatQuantity } from '../../numbers/format.ts';
import type { PinResult } from '../../worksheet/pinOf.ts';
import { decadeSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { entry, prose, type Section, symbol } from '../blocks.ts';
import { decadeTicks, limitPlace, scaled } from './scaled.ts';
import { lsb } from './settling.ts';
import { number, type Told } from './told.ts';

/** The windows in a sentence. */
function windowWords({ windows: { small, large } }: PinResult): string {
  const farads = (value: number | 'any'): string =>
    value === 'any' ? 'any size' : formatQuantity({ value, unit: 'F' });
  const upper =
    large &&
    (large[1] === 'any' ? `from ${farads(large[0])} on` : `from ${farads(large[0])} to ${farads(large[1])}`);
  if (small?.[1] === 'any') return 'A capacitance of any size at the pin serves.';
  if (small && upper) return `The pin may have up to ${farads(small[1])} or ${upper}, not between.`;
  if (small) return `The pin may have up to ${farads(small[1])}, no more.`;
  if (upper) return `At this sample time only a large capacitor at the pin serves, ${upper}.`;
  return 'At this sample time no capacitor at the pin serves.';
}

/** Error of the reading against the capacitance at the pin. */
export function pinCapacitor({ e: { sampling, worksheet, averaging }, time }: Told, pin: PinResult): Section {
  const { allowedErrorLsb: allowed, pinCapacitance } = sampling;
  const { windows, wakeTime } = pin;
  const floor = allowed / 100;
  const own = worksheet.profile.pinCapacitance.value;
  const unit = scaled(Math.sqrt(own * pin.curve.at(-1)!.capacitance), 'F');
  const line = (pick: (p: PinResult['curve'][number]) => number) =>
    pin.curve.map((p) => [unit.of(p.capacitance), pick(p)] as const).filter(([, y]) => y > floor / 10);
  const settles = line((p) => p.settling);
  const wakes = line((p) => p.waking);
  const y = decadeSpan([floor, allowed * 3, ...[...settles, ...wakes].map((p) => p[1])]);
  const x = { from: unit.of(pin.curve[0]!.capacitance), to: unit.of(pin.curve.at(-1)!.capacitance) };
  const error = Math.abs(sampling.settlingErrorLsb);
  const stretch = (from: number, to: number | 'any'): b.Span =>
    b.span({
      from: Math.max(x.from, unit.of(from)),
      to: to === 'any' ? x.to : unit.of(to),
      height: 0.16,
      text: 'serves',
    });
  const right = unit.of(pinCapacitance) > Math.sqrt(x.from * x.to);
  const capacitor = worksheet.inputs.conditioning.capacitor;
  const here = formatQuantity({ value: pinCapacitance, unit: 'F' });
  return {
    body: [
      b.plot({
        name: 'pin',
        claim: windowWords(pin),
        text: prose`A small capacitance settles along with the sampling capacitor; a large one gives it its charge and hardly falls; one in between does neither. The pin has ${formatQuantity({ value: own, unit: 'F' })} of its own${capacitor ? prose`, and ${entry('conditioning.capacitor')} beside it` : ' and no capacitor beside it'}.${wakeTime === undefined ? '' : ` The source is switched on ${time(wakeTime)} before it is read; the dashed line is what the pin still lacks then.`}`,
        description: `Error of the reading in LSB against the capacitance at the pin: ${lsb(error)} at the present ${here}, ${lsb(allowed)} allowed`,
        x: {
          label: `capacitance at the pin, ${unit.unit}`,
          scale: 'log',
          ...x,
          ...decadeTicks(x.from, x.to),
        },
        y: { label: 'LSB', scale: 'log', ...y, ...decadeTicks(y.from, y.to) },
        marks: [
          b.limit({
            y: allowed,
            text: `allowed: ${lsb(allowed)}`,
            forbidden: 'above',
            place: limitPlace(allowed, x, [settles, wakes]),
          }),
          ...(windows.small ? [stretch(0, windows.small[1])] : []),
          ...(windows.large ? [stretch(...windows.large)] : []),
          ...(wakes.length > 4
            ? [
                b.curve({
                  name: 'still waking',
                  points: wakes,
                  style: 'second',
                  label: { text: 'still waking', at: wakes.length >> 1, place: 'along above' },
                }),
              ]
            : []),
          b.curve({
            name: `settling, mean of ${averaging.ratio}`,
            points: settles,
            style: 'first',
            ...(wakes.length > 4 && {
              label: {
                text: 'settling',
                at: Math.floor(settles.length * 0.75),
                place: 'along above' as const,
              },
            }),
          }),
          b.point({
            x: unit.of(pinCapacitance),
            y: error < floor ? y.from * (y.to / y.from) ** 0.03 : error,
            standing: 'chosen',
            text: `present: ${here}: ${lsb(error)}`,
            place: error < floor ? 'above right' : right ? 'below left' : 'below right',
          }),
        ],
        figures: {
          heads: [unit.unit, 'settling', ...(wakeTime === undefined ? [] : ['waking'])],
          rows: thinned([...pin.curve.keys()], 10)
            .map((i) => pin.curve[i]!)
            .map((p) => [
              number(unit.of(p.capacitance)),
              ...[p.settling, ...(wakeTime === undefined ? [] : [p.waking])].map((v) =>
                lsb(v).replace('\u202fLSB', ''),
              ),
            ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `the pin recovers with ${time(pin.recovery)}`,
        steps: [
          prose`Between conversions, and after the source is switched on, the pin follows it with`,
          { formula: 'τ = R_s C_p' },
          {
            formula: 'τ = R C',
            with: {
              R: formatQuantity({ value: sampling.sourceResistance, unit: 'ohm' }),
              C: here,
            },
          },
          prose`A pin that starts at 0\u202fV may be read after`,
          { formula: 't = τ ln(V_s w/e)' },
          prose`${symbol('e')} what is allowed, ${symbol('w')} the part of the pin’s lack that reaches the reading: ${pin.wakeDelay === 0 ? 'at once' : time(pin.wakeDelay)} here.`,
        ],
        source: 'The same network, over its capacitance.',
      }),
    ],
  };
}

/** The pin and the sampling capacitor over one conversion. */
import { formatQuantity } from '../../numbers/format.ts';
import type { PinResult } from '../../worksheet/pinOf.ts';
import { roundSpan } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

/** Waveforms, V less the source's; where the capacitor starts far below the pin's dip, the plot keeps to the dip. */
export function waveform(
  { e: { sampling, worksheet }, time }: Told,
  { waveform: w, kick }: PinResult,
): Section {
  const end = w.times.at(-1)!;
  const volts = (value: number): string => formatQuantity({ value, unit: 'V' });
  const all = [...w.pin, ...w.sample];
  const dip = Math.max(...w.pin.map(Math.abs));
  const deepest = Math.max(...all.map(Math.abs));
  const depth = dip > 0 && deepest > 3 * dip ? 1.15 * dip : deepest;
  const seconds = scaled(end, 's');
  const unit = scaled(depth, 'V');
  const line = (values: Float64Array) => w.times.map((t, i) => [seconds.of(t), unit.of(values[i]!)] as const);
  const [pin, sample] = [line(w.pin), line(w.sample)];
  const opens = sampling.sampleTime <= end;
  const held = w.sample[w.times.indexOf(opens ? sampling.sampleTime : end)]!;
  const shown = all.map((v) => unit.of(v)).filter((v) => Math.abs(v) <= unit.of(depth));
  const y = roundSpan([0, ...shown]);
  const at = (share: number): number => Math.floor(share * (w.times.length - 1));
  const resets = w.which === 'steady';
  const { pinCapacitance, sampleCapacitance } = worksheet.profile;
  const side = held <= 0 ? 'below' : 'above';
  return {
    body: [
      b.plot({
        name: 'waveform',
        claim: `As the switch closes the pin jumps by ${volts(kick)}.`,
        text: prose`${resets ? 'One of many conversions' : 'The first conversion'}: the sampling capacitor shares its charge with the pin at once, and the source makes good what is missing. ${opens ? `The switch opens after ${time(sampling.sampleTime)}, ${volts(Math.abs(held))} ${side} the source.` : `The switch opens only after ${time(sampling.sampleTime)}, when nothing is missing any more.`}`,
        description: `Pin and sampling capacitor against time after the switch closes, ${unit.unit} from the source: the pin jumps by ${volts(kick)}, the capacitor holds ${volts(Math.abs(held))} ${side} it`,
        x: {
          label: `time since the switch closed, ${seconds.unit}`,
          scale: 'linear',
          from: 0,
          to: seconds.of(end),
        },
        y: { label: `${unit.unit} from the source`, scale: 'linear', ...y },
        marks: [
          ...(opens
            ? [b.span({ from: 0, to: seconds.of(sampling.sampleTime), height: 0.94, text: 'switch closed' })]
            : []),
          b.curve({ name: 'pin', points: pin, style: 'second' }),
          b.curve({ name: 'sampling capacitor', points: sample, style: 'first' }),
          ...(opens
            ? [
                b.point({
                  x: seconds.of(sampling.sampleTime),
                  y: unit.of(held),
                  standing: 'chosen',
                  text: `held: ${volts(held)}`,
                  place: 'below right',
                }),
              ]
            : []),
        ],
        figures: {
          heads: [seconds.unit, `pin, ${unit.unit}`, `capacitor, ${unit.unit}`],
          rows: Array.from({ length: 9 }, (_, i) => at(i / 8)).map((i) => [
            number(pin[i]![0]),
            number(pin[i]![1]),
            number(sample[i]![1]),
          ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `a kick of ${volts(kick)}`,
        steps: [
          prose`Pin ${symbol('x')} and sampling capacitor ${symbol('y')}, less the source, while the switch is closed:`,
          { formula: 'C_p dx/dt = −x/R_s + (y − x)/R_sw' },
          { formula: 'C_s dy/dt = (x − y)/R_sw' },
          prose`Two exponentials, in closed form. The kick, before the source can act:`,
          { formula: '|ΔV| C_s/(C_s + C_p)' },
          prose`with ${symbol('C')} of ${formatQuantity({ value: sampleCapacitance.value, unit: 'F' })} against ${formatQuantity({ value: sampling.pinCapacitance, unit: 'F' })} at the pin, of which the pin itself has ${formatQuantity({ value: pinCapacitance.value, unit: 'F' })}.`,
        ],
        source: 'Own derivation; agrees with a circuit simulator’s transient.',
      }),
      b.paragraph(prose`Dashed: the pin. Solid: the sampling capacitor.`),
    ],
  };
}

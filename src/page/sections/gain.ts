/** What averaging gains: the exact error against the ratio, the half-bit rule beside it, the requirement as a line. */
import { formatDeciding, formatNumber } from '../../numbers/format.ts';
import type { WorksheetSettings } from '../../worksheet/settingsOf.ts';
import { decadeSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { settingWords } from './settingsTable.ts';
import { number, type Told } from './told.ts';

/** Exact error against ratio, the half-bit rule beside it, the requirement as a line. */
export function gain(
  { e: { channel, quantizing, noise, units, worksheet }, small, inSmall, difference }: Told,
  { rows, chosen, recommended }: WorksheetSettings,
): Section {
  const whole = rows.filter((r) => r.shift === 0);
  const quantizer = inSmall(channel.worst.perCode) / Math.sqrt(12);
  const exact = whole.map((r) => [r.ratio, inSmall(r.rms)] as const);
  const rule = whole.map((r) => [r.ratio, quantizer / Math.sqrt(r.ratio)] as const);
  const wanted = worksheet.inputs.requirement.resolution?.value;
  const y = decadeSpan(
    [...exact, ...rule].map((p) => p[1]).concat(wanted === undefined ? [] : inSmall(wanted)),
  );
  const bits = Array.from({ length: 30 }, (_, i) => ({
    y: quantizer * 2 ** (quantizing.bits - i),
    text: String(i),
  }));
  const [one, most] = [whole[0]!, whole.at(-1)!];
  const gained = most.effectiveBits - one.effectiveBits;
  const best = recommended ?? chosen;
  const deciding = formatDeciding({ value: one.rms, limit: wanted ?? 0, unit: units.difference });
  const alone =
    wanted === undefined ? `${deciding.value} rms` : `${deciding.value} rms against ${deciding.limit} wanted`;
  const mark = (r: typeof best, standing: 'recommended' | 'chosen'): b.Point =>
    b.point({
      x: r.ratio,
      y: inSmall(r.rms),
      standing,
      text: `${standing}: ${settingWords(r)}: ${number(inSmall(r.rms), 2)}`,
      place: r.ratio > most.ratio / 4 ? 'below left' : 'above right',
    });
  return {
    body: [
      b.plot({
        name: 'gain',
        claim: `From 1 to ${most.ratio}, averaging gains ${formatNumber({ value: gained, digits: 3, trailing: true })} bits; the half-bit rule promises ${number(Math.log2(most.ratio) / 2, 2)}.`,
        text: prose`Alone, a conversion gives ${alone}. The rule counts the quantizer’s noise only, and promises ${number(one.ruleOfThumbBits - one.effectiveBits, 2)} bits too much from the start.`,
        description: `${small} rms against oversampling ratio: ${difference(one.rms)} at 1, ${difference(most.rms)} at ${most.ratio}`,
        x: {
          label: 'oversampling ratio',
          scale: 'log',
          from: 0.85,
          to: most.ratio * 1.18,
          ticks: thinned(
            whole.map((r) => r.ratio),
            13,
          ),
        },
        y: { label: `${small} rms`, scale: 'log', ...y },
        right: { label: 'effective bits', ticks: bits.filter((t) => t.y >= y.from && t.y <= y.to) },
        marks: [
          ...(wanted === undefined
            ? []
            : [
                b.limit({
                  y: inSmall(wanted),
                  text: `wanted: at most ${difference(wanted)} rms`,
                  forbidden: 'above',
                }),
              ]),
          b.curve({
            name: 'exact',
            points: exact,
            style: 'first',
            dots: true,
            label: { text: 'exact, no shift', at: whole.length - 2, place: 'along above' },
          }),
          b.curve({
            name: 'half-bit rule',
            points: rule,
            style: 'second',
            label: {
              text: 'half-bit rule: quantizer’s noise only',
              at: whole.length >> 1,
              place: 'along below',
            },
          }),
          ...(recommended && !recommended.chosen ? [mark(recommended, 'recommended')] : []),
          mark(chosen, 'chosen'),
        ],
        figures: {
          heads: ['ratio', `exact, ${small}`, `rule, ${small}`, 'bits'],
          rows: whole.map((r, i) => [
            String(r.ratio),
            number(exact[i]![1], 4),
            number(rule[i]![1], 4),
            number(r.effectiveBits, 4),
          ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${difference(best.rms)} rms at ${settingWords(best)}`,
        open: true,
        steps: [
          prose`Mean of ${symbol('R')} conversions, error in native LSB:`,
          { formula: 'u^2 = B^2 + (σ^2 + 1/12 − B^2)/R' },
          prose`What no averaging removes:`,
          { formula: 'B^2 = sum(k=1; ∞; e^(−4π^2 k^2 σ^2)/(2π^2 k^2))' },
          prose`With ${symbol('σ')} = ${number(noise.independentLsb)}, ${symbol('R')} = ${String(best.ratio)}, ${symbol('B')} = ${number(best.rippleLsb, 2)}${best.shift === 0 ? '' : `, and what a shift by ${best.shift} drops`}:`,
          { formula: 'u = x', with: { x: `${number(best.rmsErrorLsb, 4)} LSB` } },
          { formula: 'u q', with: { u: number(best.rmsErrorLsb, 4), q: difference(channel.worst.perCode) } },
        ],
        source: 'Own derivation; agrees with convolving the whole distribution.',
      }),
    ],
  };
}

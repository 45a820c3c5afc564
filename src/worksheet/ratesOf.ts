/**
 * The rates of a worksheet: every resolution and ratio of its converter with the rate and the effective bits it gives, the edge
 * that none of them beats, and what one further bit costs from where the worksheet stands.
 */
import { boxcarBandwidth } from '../chain/averaging/boxcarBandwidth.ts';
import { outputRate } from '../chain/sampling/timing.ts';
import { edgeOf } from '../plan/edge.ts';
import { type SettingRow, type Settings, settings } from '../plan/settings.ts';
import { channelFrom, quantizingOf } from './channelFrom.ts';
import type { Evaluation } from './evaluation.ts';
import { planOf } from './planOf.ts';
import type { Worksheet } from './read.ts';
import { timesOf } from './samplingOf.ts';
import { sampled } from './settingsOf.ts';

/** A resolution, a ratio and a shift, with what they are worth and how often they give a result. */
export interface RateRow extends SettingRow {
  readonly bits: number;
  /** Of one conversion, s. */
  readonly conversionTime: number;
  /** From one conversion to the next, s. */
  readonly interval: number;
  /** Results per second where one burst follows the other, Hz. */
  readonly outputRate: number;
  /** Frequency at which averaging has dropped the signal by 3 dB, Hz; 'any' for a single conversion. */
  readonly signalBand: number | 'any';
  readonly onEdge: boolean;
}

/** A setting that gives a bit more than the chosen one, to a twentieth of a bit. */
export interface FurtherBit {
  readonly row: RateRow;
  /** Bits that it gives more. */
  readonly gained: number;
  /** Chosen output rate over its own: above 1 where the bit costs rate. */
  readonly rateFactor: number;
}

export interface WorksheetRates {
  /**
   * By resolution, finest first, then ratio: each with the least shift whose result fits the register. The chosen and the
   * recommended setting are among them. Here the recommended one is the fastest that meets every requirement.
   */
  readonly rows: readonly RateRow[];
  /** Those that none beats in rate and bits, fastest first. */
  readonly edge: readonly RateRow[];
  readonly chosen: RateRow;
  readonly recommended?: RateRow;
  /** The fastest with a bit more than the chosen setting; 'none' if no setting gives one. */
  readonly further: FurtherBit | 'none';
  /** Effective bits that keep the resolution asked for, interference apart; absent where none is asked for. */
  readonly wantedBits?: number;
}

/** What counts as one bit more: two doublings give a little less where the shift drops something. */
const oneBit = 0.95;

/** A row before it is known which of all are on the edge. */
type Unplaced = Omit<RateRow, 'onEdge'>;

/** All that is worth a row at one resolution; nothing where a conversion takes longer than its interval. */
function rowsAt(
  worksheet: Worksheet,
  { sensor, averaging, quantizing }: Evaluation,
  bits: number,
): Unplaced[] {
  const here = bits === quantizing.bits;
  const at = here ? worksheet : sampled(worksheet, { bits: { value: bits, from: 'calculated' } });
  if (at === undefined) return [];
  const q = quantizingOf(at);
  const plan = planOf(at, channelFrom(at, sensor, q), q);
  const table = settings(plan, { ratio: averaging.ratio, shift: averaging.shift });
  const { conversionTime, interval } = timesOf(at, at.inputs.sampling.sampleCycles.value, bits);
  const timed = at.inputs.sampling.interval;
  return rowsThatCount(table, here).map((row) => ({
    ...row,
    chosen: here && row.chosen,
    bits,
    conversionTime,
    interval,
    outputRate: outputRate({
      ratio: row.ratio,
      conversionTime,
      ...(timed ? { start: 'conversion', rate: 1 / timed.value } : { start: 'back-to-back' }),
    }),
    signalBand: boxcarBandwidth({ ratio: row.ratio, interval }),
  }));
}

/** Of each ratio the least shift that fits, or the largest of all; the recommended row, and the chosen one where it stands. */
function rowsThatCount({ rows }: Settings, withChosen: boolean): SettingRow[] {
  const first = new Map<number, SettingRow>();
  for (const row of rows) {
    const before = first.get(row.ratio);
    if (before === undefined || before.overflows) first.set(row.ratio, row);
  }
  return rows.filter((r) => r === first.get(r.ratio) || r.recommended || (withChosen && r.chosen));
}

/** The fastest of those that meet every requirement at their own resolution; of equals that of least charge. */
const fastest = (rows: readonly Unplaced[]): Unplaced | undefined =>
  rows
    .filter((r) => r.recommended)
    .reduce<Unplaced | undefined>(
      (best, r) =>
        best === undefined ||
        r.outputRate > best.outputRate ||
        (r.outputRate === best.outputRate && r.charge < best.charge)
          ? r
          : best,
      undefined,
    );

/**
 * Rates and effective bits of every resolution and ratio of a worksheet's converter, at its clock, sample time and trigger.
 *
 * @param evaluation - of the worksheet
 * @returns all settings that count, the edge among them, and what one further bit costs; LSB are of each row's own resolution
 */
export function ratesOf(evaluation: Evaluation): WorksheetRates {
  const { worksheet, channel, quantizing } = evaluation;
  const { profile, inputs } = worksheet;
  const unplaced = profile.resolutions.flatMap(({ bits }) => rowsAt(worksheet, evaluation, bits));
  const best = fastest(unplaced);
  const onEdge = new Set(edgeOf(unplaced.filter((r) => !r.overflows)));
  const placed = new Map<Unplaced, RateRow>(
    unplaced.map((r) => [r, { ...r, recommended: r === best, onEdge: onEdge.has(r) }]),
  );
  const rows = [...placed.values()];
  const edge = [...onEdge].map((r) => placed.get(r)!);
  const chosen = rows.find((r) => r.chosen)!;
  const recommended = rows.find((r) => r.recommended);
  const more = edge.find((r) => r.effectiveBits >= chosen.effectiveBits + oneBit);
  const wanted = inputs.requirement.resolution?.value;
  return {
    rows,
    edge,
    chosen,
    ...(recommended && { recommended }),
    further: more
      ? {
          row: more,
          gained: more.effectiveBits - chosen.effectiveBits,
          rateFactor: chosen.outputRate / more.outputRate,
        }
      : 'none',
    ...(wanted !== undefined && {
      wantedBits: quantizing.bits - Math.log2((Math.sqrt(12) * wanted) / channel.worst.perCode),
    }),
  };
}

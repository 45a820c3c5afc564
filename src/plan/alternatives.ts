/**
 * Alternatives: what would serve where no setting does. Each is one change to the plan, with the best setting that it allows.
 */
import { bestDither } from '../chain/averaging/dither.ts';
import { formatQuantity } from '../numbers/format.ts';
import { type Plan, type Setting, type SettingRow, settings } from './settings.ts';

/** What is changed. */
export type ChangeKind = 'divider' | 'dither' | 'resolution' | 'sample time' | 'software';

/** One change to a plan. */
export interface Change {
  readonly kind: ChangeKind;
  /** Worksheet path of what is changed. */
  readonly path: string;
  /** The new value of it, as worksheet text; for dither the total noise. */
  readonly value: string;
  /** In words, to follow "with", as `a divider resistor of 5.9 kΩ`. */
  readonly words: string;
  readonly plan: Plan;
}

/** What one change would bring. */
export interface Alternative extends Omit<Change, 'plan'> {
  /** The best setting with it: the recommended one, or the nearest to it. */
  readonly row: SettingRow;
  /** Whether that meets every requirement. */
  readonly serves: boolean;
  /** A sentence with the figures. */
  readonly text: string;
}

/** How far a row is from meeting everything: the inverse of the least margin. */
const distance = ({ requirements }: SettingRow): number =>
  Math.max(...requirements.map((r) => (r.margin === 'any' ? 0 : 1 / r.margin)));

/** What each change would bring, those that serve first; the order within is that of the changes. */
export function alternatives(changes: readonly Change[], chosen: Setting): Alternative[] {
  const found = changes.map(({ plan, ...change }): Alternative => {
    const { recommended, rows } = settings(plan, chosen);
    const row = recommended ?? rows.reduce((a, b) => (distance(b) < distance(a) ? b : a));
    return { ...change, row, serves: recommended !== undefined, text: sentence(change.words, row, plan) };
  });
  return [...found.filter((a) => a.serves), ...found.filter((a) => !a.serves)];
}

function sentence(words: string, row: SettingRow, { demands: { unit } }: Plan): string {
  const figure = (value: number): string => formatQuantity({ value, unit });
  const setting = row.ratio === 1 ? 'one conversion' : `ratio ${row.ratio}, shift ${row.shift}`;
  const best = `${setting} gives ${figure(row.rms)} rms in steps of ${figure(row.step)}`;
  const misses = row.failures.map((f) => f.text).join(', ');
  return `With ${words}, ${best}${misses === '' ? ' and meets everything' : `: ${misses}`}.`;
}

/**
 * The change to the noise that averages best: the least ratio that meets everything with it, or the largest where none does.
 * Undefined where the noise is that large already.
 */
export function ditherChange(plan: Plan, finestBits: number): Change | undefined {
  const dithered = (ratio: number): Plan => ({
    ...plan,
    ratios: [ratio],
    noiseLsb: bestDither({ bits: plan.bits, ratio }).noiseLsb,
  });
  const candidates = plan.ratios
    .filter((ratio) => ratio > 1)
    .map(dithered)
    .filter((p) => p.noiseLsb > plan.noiseLsb);
  // The unshifted mean has the least error of a ratio; where that is too much already, no shift needs to be tried.
  const serves = (p: Plan): boolean => {
    const [ratio] = p.ratios as [number];
    const unshifted = p.perCode * Math.hypot(unshiftedLsb(p, ratio), p.otherLsb(ratio));
    if (unshifted > (p.demands.resolution ?? Number.POSITIVE_INFINITY)) return false;
    return settings(p, { ratio, shift: 0 }).recommended !== undefined;
  };
  const best = candidates.find(serves) ?? candidates.at(-1);
  if (best === undefined) return undefined;
  const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });
  const added = Math.sqrt(best.noiseLsb ** 2 - plan.noiseLsb ** 2);
  return {
    kind: 'dither',
    path: 'converter.noise',
    // The worksheet tells the noise in LSB of the finest resolution.
    value: `${Number((best.noiseLsb * 2 ** (finestBits - plan.bits)).toPrecision(3))} LSB`,
    words: `dither of ${lsb(added)} rms, ${lsb(best.noiseLsb)} in all`,
    plan: best,
  };
}

/** Rms error of the unshifted mean at the noise that is best for its ratio, native LSB. */
const unshiftedLsb = ({ bits }: Plan, ratio: number): number =>
  2 ** (bits - bestDither({ bits, ratio }).effectiveBits) / Math.sqrt(12);

/** Ratios beyond those of the hardware, summed by the core in a variable of 31 bits; undefined where there are none. */
export function softwareChange(plan: Plan, coreCurrent: number): Change | undefined {
  const ratios: number[] = [];
  for (let ratio = 2 ** (Math.floor(Math.log2(Math.max(...plan.ratios))) + 1); ratio <= 65536; ratio *= 2) {
    ratios.push(ratio);
  }
  if (ratios.length === 0) return undefined;
  return {
    kind: 'software',
    path: 'averaging.ratio',
    value: String(ratios[0]),
    words: 'sums formed by the core',
    plan: { ...plan, ratios, largestShift: 0, registerBits: 31, coreCurrent },
  };
}

/**
 * Hum: lines of the mains in a spectrum, named, also where they fold down.
 *
 * A spectrum comes in; out go the lines near multiples of 50 and 60 Hz that stand out of the noise about them, each with the names
 * it may go by.
 */
import { chiSquareQuantile } from '../numbers/chiSquare.ts';
import { between, named, or } from '../numbers/guard.ts';
import { type Spectrum, spectrumRule } from './spectrum.ts';
import { lobeOf } from './windows.ts';

/** A line with the names it may go by. */
export interface HumLine {
  /** Where it stands, Hz. */
  readonly frequency: number;
  /** Its rms, in the unit of the values. */
  readonly rms: number;
  /** Its power over that of the noise about it, dB. */
  readonly aboveNoiseDb: number;
  /** What it may be: multiples of the mains, folded or not. */
  readonly names: readonly string[];
}

/** Highest multiple looked for. */
const orders = 10;
/** Chance that noise alone is taken for a line, over all that are looked for. */
const falseAlarm = 1e-4;
/** Bins on either side that the noise is told from, at most. */
const neighbours = 50;

const nameOf = (order: number, mains: number, rate: number): string => {
  const own = order === 1 ? `${mains} Hz` : `${order} × ${mains} Hz`;
  return 2 * order * mains <= rate ? own : `${own}, folded`;
};

/** Median of numbers, at least one. */
const medianOf = (list: number[]): number => list.sort((a, b) => a - b)[list.length >> 1]!;

/**
 * Lines of the mains in a spectrum.
 *
 * A line is looked for within the mains' tolerance about each multiple, folded at half the rate, and taken where its bin is beyond
 * what noise reaches once in 10 000 records. Take a spectrum fine enough: two names of one line cannot be told apart by it.
 *
 * @param spectrum - spectrum or average; a rate not locked to the mains tells most
 * @param tolerance - relative tolerance of the mains and of the record's clock together, 0 … 0.05; 0.01 unless given
 * @returns lines, the strongest first; none where nothing stands out
 * @throws RangeError for an argument outside its range
 *
 * humLines({ spectrum: { power: Float64Array.of(0, 1, 1, 1), frequencies: Float64Array.of(0, 1, 2, 3), binWidth: 1, noiseBandwidth: 1, coherentGain: 1, window: 'hann' } }) // => []
 */
export function humLines(given: { spectrum: Spectrum; tolerance?: number }): HumLine[] {
  const { spectrum, tolerance } = named(
    'humLines',
    { spectrum: spectrumRule, tolerance: or(between(0, 0.05, ''), 0.01) },
    given,
  );
  const { power, frequencies, binWidth, noiseBandwidth, window } = spectrum;
  const last = power.length - 1;
  const lobe = Math.max(1, lobeOf(window));
  // Half the rate is the last bin, or half a bin above it.
  const rate = 2 * binWidth * (Math.abs(frequencies[last]! / binWidth - last) < 1e-9 ? last : last + 0.5);
  const segments = 'segments' in spectrum ? (spectrum.segments as number) : 1;
  const found = new Map<number, HumLine & { names: string[] }>();
  for (const mains of [50, 60]) {
    for (let order = 1; order <= orders; order++) {
      const raw = (order * mains) % rate;
      const folded = Math.min(raw, rate - raw) / binWidth;
      const reach = 1 + (order * mains * tolerance) / binWidth;
      const from = Math.max(lobe + 1, Math.floor(folded - reach));
      const to = Math.min(last, Math.ceil(folded + reach));
      if (to < from) continue;
      let top = from;
      for (let k = from; k <= to; k++) if (power[k]! > power[top]!) top = k;
      const about: number[] = [];
      for (let d = lobe + 1; d <= lobe + neighbours; d++) {
        if (top - d > lobe) about.push(power[top - d]!);
        if (top + d <= last) about.push(power[top + d]!);
      }
      if (about.length < 8) continue;
      // The median of an exponential is ln 2 of its mean; averages come nearer to their mean.
      const noise = medianOf(about) / (1 - (1 - Math.LN2) / segments);
      const tries = 2 * orders * (to - from + 1);
      const limit = (noise * chiSquareQuantile(1 - falseAlarm / tries, 2 * segments)) / (2 * segments);
      // The skirt of a line that stands outside is none of the mains'.
      const isPeak = power[top]! >= (power[top - 1] ?? 0) && power[top]! >= (power[top + 1] ?? 0);
      if (!isPeak || noise === 0 || power[top]! <= limit) continue;
      const known = found.get(top);
      if (known) {
        known.names.push(nameOf(order, mains, rate));
        continue;
      }
      let sum = 0;
      for (let k = Math.max(0, top - lobe); k <= Math.min(last, top + lobe); k++) sum += power[k]!;
      found.set(top, {
        frequency: top * binWidth,
        rms: Math.sqrt((sum * binWidth) / noiseBandwidth),
        aboveNoiseDb: 10 * Math.log10(power[top]! / noise),
        names: [nameOf(order, mains, rate)],
      });
    }
  }
  return [...found.values()].sort((a, b) => b.rms - a.rms);
}

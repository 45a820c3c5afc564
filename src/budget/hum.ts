/**
 * Hum: what the mean of a burst leaves of the mains, with the tolerances that keep its nulls from being met exactly.
 *
 * In come the mains frequency, the tolerances, and the chain; out go the worst gain, the windows that null best, and the period of
 * the beat that is left between mains and readings.
 */
import { between, named, or, positive, type Rule, whole } from '../numbers/guard.ts';
import { type ChainArguments, chainShape, gainOf } from './response.ts';

/** What is left of the mains. */
export interface HumRejection {
  /** Largest amplitude left, relative to the hum ahead of the chain, 0 … 1. */
  readonly gain: number;
  /** Frequency at which it is left, Hz, as the nominal clock counts. */
  readonly frequency: number;
  /** −20·log10 of the gain, dB; 'any' where nothing is left. */
  readonly rejectionDb: number | 'any';
}

/** A burst, and what it leaves of all the frequencies to be rejected. */
export interface NullingWindow {
  /** From one conversion to the next, s. */
  readonly interval: number;
  /** Conversions averaged. */
  readonly ratio: number;
  /** R·T, s. */
  readonly window: number;
  /** Largest amplitude left of any of the frequencies, relative to it. */
  readonly gain: number;
}

const tolerance = or(between(0, 0.5, ''), 0);
const mains = between(1e-3, 1e9, 'Hz');

/** Gain below which what is left is rounding. */
const nothing = 1e-12;

/** Lobes of the boxcar up to which each is searched for its peak; beyond, the envelope stands for them. */
const mostLobes = 256;

/** Ends of the band that the tolerances make of a frequency, as the nominal clock counts. */
const bandOf = (f: number, ofFrequency: number, ofClock: number): [number, number] => [
  f * (1 - ofFrequency) * (1 - ofClock),
  f * (1 + ofFrequency) * (1 + ofClock),
];

/** Where a function with one maximum between two ends has it, by golden section. */
function peakBetween(f: (x: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [x, y] = [b - golden * (b - a), a + golden * (b - a)];
  let [fx, fy] = [f(x), f(y)];
  for (let i = 0; i < 40; i++) {
    if (fx > fy) {
      [b, y, fy] = [y, x, fx];
      x = b - golden * (b - a);
      fx = f(x);
    } else {
      [a, x, fx] = [x, y, fy];
      y = a + golden * (b - a);
      fy = f(y);
    }
  }
  return fx > fy ? x : y;
}

/** The largest gain of a chain between two frequencies. */
function largestGain(low: number, high: number, chain: Required<ChainArguments>) {
  const { interval, ratio } = chain;
  const gain = (f: number): number => gainOf(f, chain);
  const candidates = [low, high];
  const first = Math.floor(low * ratio * interval) + 1;
  const last = Math.ceil(high * ratio * interval) - 1;
  // The boxcar is 1 at every multiple of the conversion rate.
  const multiple = Math.ceil(low * interval) / interval;
  if (multiple <= high) candidates.push(multiple);
  if (last - first > mostLobes) {
    const envelope = (f: number): number =>
      gainOf(f, { ...chain, ratio: 1 }) *
      Math.min(1, 1 / (ratio * Math.abs(Math.sin(Math.PI * f * interval))));
    return largestOf(candidates, envelope);
  }
  // Between two nulls of the boxcar lies one peak.
  const nulls = Array.from(
    { length: Math.max(0, last - first + 1) },
    (_, i) => (first + i) / (ratio * interval),
  );
  const edges = [low, ...nulls, high];
  for (let i = 1; i < edges.length; i++) candidates.push(peakBetween(gain, edges[i - 1]!, edges[i]!));
  return largestOf(candidates, gain);
}

function largestOf(frequencies: readonly number[], gain: (f: number) => number) {
  let best = { frequency: frequencies[0]!, gain: gain(frequencies[0]!) };
  for (const frequency of frequencies.slice(1)) {
    const found = gain(frequency);
    if (found > best.gain) best = { frequency, gain: found };
  }
  return best.gain < nothing ? { ...best, gain: 0 } : best;
}

/**
 * Hum rejection: the most that the chain can leave of the mains, over the tolerances of the mains and of the clock.
 *
 * The boxcar has its nulls where R·T is a whole number of mains periods; how deep they are in practice is set by the tolerances
 * alone. Where the band spans more than 256 lobes, the envelope 1/(R·|sin πfT|) is taken for them.
 *
 * @param frequency - nominal mains frequency, Hz, 0.001 … 1e9
 * @param frequencyTolerance - of the mains, half-width relative to it, 0 … 0.5; 0 if absent
 * @param clockTolerance - of the clock that times the conversions, half-width relative to it, 0 … 0.5; 0 if absent
 * @param interval - T, from one conversion to the next by the nominal clock, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @param timeConstants - of the low-passes ahead of the converter, s; none if absent
 * @returns largest gain, the frequency it stands at, and the rejection in dB
 * @throws RangeError if an argument is outside its range
 * @see own derivation: the largest of the chain's gain over a band
 *
 * @example
 * humRejection({ frequency: 50, frequencyTolerance: 0.01, interval: 1e-3, ratio: 20 }).rejectionDb // => 39.88
 */
export function humRejection(
  given: ChainArguments & {
    readonly frequency: number;
    readonly frequencyTolerance?: number | undefined;
    readonly clockTolerance?: number | undefined;
  },
): HumRejection {
  const shape = {
    frequency: mains,
    frequencyTolerance: tolerance,
    clockTolerance: tolerance,
    ...chainShape,
  };
  const { frequency, frequencyTolerance, clockTolerance, ...chain } = named('humRejection', shape, given);
  const found = largestGain(...bandOf(frequency, frequencyTolerance, clockTolerance), chain);
  return { ...found, rejectionDb: found.gain > 0 ? -20 * Math.log10(found.gain) : 'any' };
}

const arrayOf = (allowed: string, keeps: Rule<number>): Rule<readonly number[]> => ({
  allowed,
  keeps: (v): v is readonly number[] => Array.isArray(v) && v.length > 0 && v.every(keeps.keeps),
});

/**
 * Windows that null the mains best: every interval with every ratio, by what they leave of all the frequencies.
 *
 * 100 ms holds 5 periods of 50 Hz and 6 of 60 Hz, and so nulls both.
 *
 * @param intervals - the intervals T that the timer can make, s
 * @param ratios - the ratios R that the averaging can take, 1 … 65536
 * @param frequencies - to be rejected, Hz; 50 and 60 if absent
 * @param frequencyTolerance - half-width of each relative to it, 0 … 0.5; 0 if absent
 * @param clockTolerance - of the clock, half-width relative to it, 0 … 0.5; 0 if absent
 * @returns one entry for each pair, the smallest gain first, and of equals the shortest window
 * @throws RangeError if an argument is outside its range
 * @see own derivation: exhaustive search
 *
 * @example
 * nullingWindows({ intervals: [1e-3], ratios: [20, 64, 100] })[0].ratio // => 100
 */
export function nullingWindows(given: {
  readonly intervals: readonly number[];
  readonly ratios: readonly number[];
  readonly frequencies?: readonly number[] | undefined;
  readonly frequencyTolerance?: number | undefined;
  readonly clockTolerance?: number | undefined;
}): NullingWindow[] {
  const shape = {
    intervals: arrayOf('an array of numbers 1e-30 … 1e12 s', between(1e-30, 1e12, 's')),
    ratios: arrayOf('an array of whole numbers 1 … 65536', whole(1, 65536)),
    frequencies: or(arrayOf('an array of numbers 0.001 … 1e9 Hz', mains), [50, 60]),
    frequencyTolerance: tolerance,
    clockTolerance: tolerance,
  };
  const a = named('nullingWindows', shape, given);
  const bands = a.frequencies.map((f) => bandOf(f, a.frequencyTolerance, a.clockTolerance));
  return a.intervals
    .flatMap((interval) =>
      a.ratios.map((ratio) => {
        const chain = { interval, ratio, timeConstants: [] };
        const gain = Math.max(...bands.map((band) => largestGain(...band, chain).gain));
        return { interval, ratio, window: ratio * interval, gain };
      }),
    )
    .sort((x, y) => x.gain - y.gain || x.window - y.window);
}

/** Periods of a beat. */
export interface BeatPeriod {
  /** Shortest and longest period over the tolerance, s; 'none' where there is no beat but a constant. */
  readonly shortest: number | 'none';
  readonly longest: number | 'none';
}

/**
 * Beat period: how slowly the hum that is left seems to go up and down from reading to reading.
 *
 *     1/|f − k·f_o|, k the whole number nearest to f/f_o
 *
 * @param frequency - f, Hz, 0.001 … 1e9
 * @param rate - readings per second f_o, Hz, > 0
 * @param tolerance - half-width of the frequency against the clock, relative, 0 … 0.5; 0 if absent
 * @returns shortest and longest period in s
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * beatPeriod({ frequency: 50, rate: 9.9 }) // => { shortest: 2, longest: 2 }
 */
export function beatPeriod(given: {
  readonly frequency: number;
  readonly rate: number;
  readonly tolerance?: number | undefined;
}): BeatPeriod {
  const shape = { frequency: mains, rate: positive('Hz'), tolerance };
  const a = named('beatPeriod', shape, given);
  const [low, high] = bandOf(a.frequency, a.tolerance, 0);
  const apart = (f: number): number => Math.abs(f - Math.round(f / a.rate) * a.rate);
  const holdsMultiple = Math.floor(high / a.rate) * a.rate >= low;
  const holdsHalf = (Math.floor(high / a.rate - 0.5) + 0.5) * a.rate >= low;
  const least = holdsMultiple ? 0 : Math.min(apart(low), apart(high));
  const most = holdsHalf ? a.rate / 2 : Math.max(apart(low), apart(high));
  // What is left of a frequency that the readings keep in step with is rounding.
  const period = (beat: number): number | 'none' => (beat > nothing * high ? 1 / beat : 'none');
  return { shortest: period(most), longest: period(least) };
}

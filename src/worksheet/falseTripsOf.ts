/**
 * False and missed trips of a worksheet's watchdog: how often noise alone makes an alarm, how much hysteresis and how many in a row keep
 * that seldom, and how long an alarm then takes.
 *
 * Noise and distances are in native LSB; the measurand's unit is at the limit, where it is small against the curve's bend.
 */
import { detectionDelay } from '../chain/watchdog/detectionDelay.ts';
import { falseTripRate } from '../chain/watchdog/falseTrips.ts';
import {
  consecutiveForInterval,
  hysteresisForInterval,
  marginForInterval,
} from '../chain/watchdog/tripMargins.ts';
import type { Evaluation } from './evaluation.ts';
import type { Threshold, Watchdog } from './watchdogOf.ts';

/** A year, s. */
export const year = 31_536_000;

/** What a count of values in a row does. */
export interface ConsecutiveRow {
  readonly consecutive: number;
  readonly chosen: boolean;
  /** Distance of a steady input from the threshold for one false alarm a year, native LSB and in the unit of differences; below 0 or 'any' where even an input beyond trips more seldom. */
  readonly marginLsb: number | 'any';
  readonly margin: number | 'any';
  /** Hysteresis for which an alarm comes and goes at most once a year wherever the input stands. */
  readonly hysteresisLsb: number;
  readonly hysteresis: number;
  /** Longest time from a change, to far beyond the threshold, to the alarm, s: the change comes just after a reading. */
  readonly longestDelay: number;
  /** False alarms a year where the input rests at the release point: a converter without error, and the worst within the tolerance. */
  readonly atRest?: number;
  readonly atRestWorst?: number;
}

/** False trips at one threshold. */
export interface FalseTrips {
  /** Noise of one compared value, native LSB rms. */
  readonly noiseLsb: number;
  /** The same in the unit of differences at the limit. */
  readonly noise: number;
  /** Measurand per native LSB at the limit. */
  readonly perLsb: number;
  /** Compared values in a year divided by its seconds, Hz. */
  readonly rate: number;
  /** Compared values of one reading. */
  readonly valuesPerReading: number;
  readonly consecutive: number;
  /** Counts 1 … 5 and the chosen one. */
  readonly rows: readonly ConsecutiveRow[];
  /** The hysteresis of the worksheet, in the unit of differences; absent where it has none. */
  readonly hysteresis?: number;
  /** What it is in compared codes, whole, rounded up. */
  readonly hysteresisCodes?: number;
  /** Fewest values in a row for at most one false alarm a year at the release point of a converter without error. */
  readonly enoughConsecutive?: number | 'none';
  /** Mean time to the alarm, s, for an input that stands one standard deviation beyond the threshold; 'none' if above 10³⁰⁰ s. */
  readonly slightlyBeyond: number | 'none';
  /** Probability that one compared value trips, for an input a distance inside the threshold, native LSB. */
  probability(distanceLsb: number): number;
  /** False alarms a year for it. */
  perYear(distanceLsb: number, consecutive: number): number;
}

/** Noise of one compared value, native LSB rms: of a conversion ahead of the quantizer, or of the mean that becomes the result. */
export function comparedNoiseLsb({ noise, averaging }: Evaluation, stage: 'conversion' | 'result'): number {
  const ratio = stage === 'result' ? averaging.ratio : 1;
  const { source, flicker } = noise.slowLsb(ratio);
  const white = stage === 'result' ? noise.sources.white / Math.sqrt(ratio) : noise.independentLsb;
  return Math.hypot(white, source, flicker);
}

/**
 * False trips at a threshold of a watchdog.
 *
 * @param e - evaluation of the worksheet
 * @param watchdog - as `watchdogOf` gives it
 * @param threshold - one of its thresholds
 */
export function falseTripsOf(e: Evaluation, watchdog: Watchdog, threshold: Threshold): FalseTrips {
  const { worksheet, channel, averaging, sampling } = e;
  const { stage } = watchdog.compare;
  const at = threshold.limit.measurand === 'none' ? channel.worst.measurand : threshold.limit.measurand;
  const perLsb = channel.perCode(at);
  const noiseLsb = comparedNoiseLsb(e, stage);
  const period = worksheet.inputs.requirement.period.value;
  const valuesPerReading = stage === 'result' ? 1 : averaging.ratio;
  const rate = valuesPerReading / period;
  const chosen = worksheet.inputs.watchdog?.consecutive?.value ?? 1;
  const hysteresis = worksheet.inputs.watchdog?.hysteresis?.value;
  const perYear = (distanceLsb: number, consecutive: number): number =>
    year * falseTripRate({ marginLsb: distanceLsb, noiseLsb, rate, consecutive });
  const released = hysteresis === undefined ? undefined : restsAt(threshold, hysteresis, perLsb);
  const longestDelay = (consecutive: number): number => {
    const readings = Math.ceil(consecutive / valuesPerReading);
    const last = (consecutive - 1) % valuesPerReading;
    const within =
      stage === 'result' ? averaging.burstTime : last * sampling.interval + sampling.conversionTime;
    return readings * period + within;
  };
  const row = (consecutive: number): ConsecutiveRow => {
    const asked = { interval: year, noiseLsb, rate, consecutive };
    const marginLsb = marginForInterval(asked);
    const hysteresisLsb = hysteresisForInterval(asked);
    return {
      consecutive,
      chosen: consecutive === chosen,
      marginLsb,
      margin: marginLsb === 'any' ? 'any' : marginLsb * perLsb,
      hysteresisLsb,
      hysteresis: hysteresisLsb * perLsb,
      longestDelay: longestDelay(consecutive),
      ...(released && {
        atRest: perYear(released.lsb, consecutive),
        atRestWorst: perYear(released.worstLsb, consecutive),
      }),
    };
  };
  const counts = [...new Set([1, 2, 3, 4, 5, chosen])].sort((a, b) => a - b);
  return {
    noiseLsb,
    noise: noiseLsb * perLsb,
    perLsb,
    rate,
    valuesPerReading,
    consecutive: chosen,
    rows: counts.map(row),
    ...(hysteresis !== undefined && {
      hysteresis,
      hysteresisCodes: Math.ceil(hysteresis / threshold.step),
    }),
    ...(released && {
      enoughConsecutive: consecutiveForInterval({ interval: year, marginLsb: released.lsb, noiseLsb, rate }),
    }),
    slightlyBeyond: detectionDelay({ marginLsb: -noiseLsb, noiseLsb, rate, consecutive: chosen }).mean,
    probability: (distanceLsb) => falseTripRate({ marginLsb: distanceLsb, noiseLsb, rate: 1 }),
    perYear,
  };
}

/**
 * Distance from the release point, the limit less the hysteresis, to where the threshold acts, native LSB: for a converter without error,
 * and for the first within the tolerance. Below 0 where the threshold acts ahead of it.
 */
function restsAt({ limit, tripsAt, startsAt }: Threshold, hysteresis: number, perLsb: number) {
  const sign = limit.side === 'above' ? 1 : -1;
  const { measurand } = limit;
  if (measurand === 'none' || tripsAt.measurand === 'none' || startsAt.measurand === 'none') return undefined;
  const rest = measurand - sign * hysteresis;
  const lsb = (place: number): number => (sign * (place - rest)) / perLsb;
  return { lsb: lsb(tripsAt.measurand), worstLsb: lsb(startsAt.measurand) };
}

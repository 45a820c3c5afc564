/**
 * Ways to operate the converter of a worksheet: one burst at a time, bursts without a pause, and by a timer; what each gives at the
 * chosen ratio.
 */
import { boxcarGain } from '../chain/averaging/boxcar.ts';
import { boxcarBandwidth } from '../chain/averaging/boxcarBandwidth.ts';
import type { Evaluation } from './evaluation.ts';

/** One way to operate. */
export interface Operation {
  readonly is: 'single' | 'continuous' | 'timed conversions' | 'timed readings';
  /** From the end of one conversion of a burst to the start of the next, s. */
  readonly delay: number;
  /** From one result to the next, s. */
  readonly every: number;
  /** From the start, start-ups included, to the first result, s. */
  readonly ready: number;
  /** How far back the middle of the burst lies when its result is there, s. */
  readonly age: number;
  /** Frequency at which averaging has dropped the signal by 3 dB, Hz; 'any' for a single conversion. */
  readonly signalBand: number | 'any';
  /** Half the rate of results that follow one another without a pause, Hz, and what is left of a signal there, 0 … 1. */
  readonly halfRate: number;
  readonly atHalfRate: number;
  /** Whether the worksheet does it so. */
  readonly present: boolean;
}

/**
 * The ways to operate a worksheet's converter, single, continuous and timed.
 *
 * @param evaluation - of the worksheet
 * @returns one after the other; timed conversions only where the worksheet gives their interval
 */
export function operationsOf({ worksheet, sampling, averaging }: Evaluation): Operation[] {
  const { ratio } = averaging;
  const { conversionTime, sampleTime } = sampling;
  const { interval: timed } = worksheet.inputs.sampling;
  const period = worksheet.inputs.requirement.period.value;
  const start = averaging.startTime;
  const operation = (
    is: Operation['is'],
    interval: number,
    everyOf: (burst: number, ready: number) => number,
  ): Operation => {
    const halfRate = 0.5 / (ratio * interval);
    const burst = (ratio - 1) * interval + conversionTime;
    return {
      is,
      delay: Math.max(0, interval - conversionTime),
      every: everyOf(burst, start + burst),
      ready: start + burst,
      age: ((ratio - 1) * interval) / 2 + conversionTime - sampleTime,
      signalBand: boxcarBandwidth({ ratio, interval }),
      halfRate,
      atHalfRate: Math.abs(boxcarGain({ frequency: halfRate, ratio, interval })),
      present: is === (timed ? 'timed conversions' : 'timed readings'),
    };
  };
  return [
    operation('single', conversionTime, (_, ready) => ready),
    operation('continuous', conversionTime, (burst) => burst),
    ...(timed ? [operation('timed conversions', timed.value, () => ratio * timed.value)] : []),
    operation('timed readings', conversionTime, () => period),
  ];
}

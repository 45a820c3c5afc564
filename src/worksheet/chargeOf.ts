/**
 * Charge and battery of a worksheet: what a reading takes and when, what is drawn between readings, and how long the battery lasts.
 */
import { burstCharge } from '../budget/charge.ts';
import { year } from '../numbers/units.ts';
import type { Evaluation } from './evaluation.ts';
import { type LeftOn, leftOnOf } from './leftOn.ts';
import { averageOf, type Draw, drawsOf, lifeOf, phasesOf, type ReadingPhase, totalOf } from './phasesOf.ts';
import { planOf } from './planOf.ts';
import { ratiosOf } from './profile.ts';
import { type Recalibration, recalibrationOf } from './recalibrationOf.ts';
import { type DividerSwitching, switchingOf } from './switchingOf.ts';

/** A phase where it stands in the reading. */
export interface TimedPhase extends ReadingPhase {
  /** Since the wake-up, s. */
  readonly start: number;
  /** C */
  readonly charge: number;
  /** Part of the reading's charge, 0 … 1. */
  readonly share: number;
}

/** An average current and what it makes of the battery. */
export interface Drain {
  /** A */
  readonly averageCurrent: number;
  /** s; 'none' where no battery is given, 'any' where nothing empties it. */
  readonly life: number | 'any' | 'none';
}

/** What one ratio costs. */
export interface RatioDrain extends Drain {
  readonly ratio: number;
  /** Of the whole reading, s and C. */
  readonly time: number;
  readonly charge: number;
  readonly chosen: boolean;
}

/** All that the page on charge shows. */
export interface WorksheetCharge extends Drain {
  /** In order, from the wake-up on. */
  readonly phases: readonly TimedPhase[];
  /** Of a reading, s and C. */
  readonly time: number;
  readonly charge: number;
  /** Supply, V, and energy of a reading, J; absent where the worksheet gives no supply. */
  readonly energy?: { readonly supply: number; readonly energy: number };
  /** From one reading to the next, s. */
  readonly period: number;
  /** What draws whether a reading is taken or not, and all of it, A. */
  readonly draws: readonly Draw[];
  readonly idleCurrent: number;
  /** Part of what the battery gives that readings take, 0 … 1; self-discharge not counted. */
  readonly readingsShare: number;
  /** Period at which readings take as much as what is drawn between them, s; 'none' where that is nothing. */
  readonly alikePeriod: number | 'none';
  /** Every power of two that the profile can average, and the chosen ratio. */
  readonly ratios: readonly RatioDrain[];
  /** Average current and life against the period, at ratio 1, the chosen one and the largest; only where readings fit. */
  readonly periods: readonly { readonly ratio: number; readonly points: readonly PeriodDrain[] }[];
  /** Current that self-discharge stands for, A; absent without a battery. */
  readonly selfDischargeCurrent?: number;
  readonly leftOn: readonly LeftOn[];
  readonly switching?: DividerSwitching;
  readonly recalibration: Recalibration;
}

/** Average current and life at one reading period. */
export interface PeriodDrain extends Drain {
  /** s */
  readonly period: number;
}

/** Reading periods that are looked at, s: a tenth of a second to a week. */
const periodSpan = { from: 0.1, to: 604_800, count: 49 };

/**
 * Charge, average current and battery life of a worksheet's readings.
 *
 * @param evaluation - of the worksheet
 * @returns phases, charge, life, and what changes them; currents are those at the battery
 */
export function chargeOf(e: Evaluation): WorksheetCharge {
  const { worksheet, channel, quantizing, averaging } = e;
  const { inputs, profile } = worksheet;
  const plan = planOf(worksheet, channel, quantizing);
  const draws = drawsOf(worksheet, channel);
  const period = inputs.requirement.period.value;
  const phasesAt = (ratio: number): ReadingPhase[] =>
    phasesOf(
      worksheet,
      channel,
      burstCharge({
        ratio,
        conversionTime: plan.conversionTime,
        interval: plan.interval,
        converterCurrent: plan.converterCurrent,
        coreCurrent: plan.coreCurrent,
        excitationCurrent: plan.excitationCurrent,
      }),
    );
  const drain = (averageCurrent: number): Drain => ({
    averageCurrent,
    life: lifeOf(worksheet, averageCurrent),
  });
  const { time, charge, phases } = timed(phasesAt(averaging.ratio));
  const idleCurrent = draws.reduce((sum, d) => sum + d.current, 0);
  const chosen = drain(averageOf(phases, draws, period));
  const supply = inputs.power?.supply?.value;
  const battery = inputs.power?.battery;
  const ratios = [...new Set([1, ...ratiosOf(profile), averaging.ratio])].sort((a, b) => a - b);
  return {
    phases,
    time,
    charge,
    ...(supply !== undefined && { energy: { supply, energy: supply * charge } }),
    period,
    draws,
    idleCurrent,
    ...chosen,
    readingsShare: chosen.averageCurrent > 0 ? charge / Math.max(period, time) / chosen.averageCurrent : 0,
    alikePeriod: idleCurrent > 0 ? charge / idleCurrent : 'none',
    ratios: ratios.map((ratio) => {
      const own = phasesAt(ratio);
      const isChosen = ratio === averaging.ratio;
      return { ratio, ...totalOf(own), ...drain(averageOf(own, draws, period)), chosen: isChosen };
    }),
    periods: [...new Set([1, averaging.ratio, ratios.at(-1)!])].map((ratio) => {
      const own = phasesAt(ratio);
      const least = totalOf(own).time;
      const points = periodsLookedAt(period)
        .filter((p) => p >= least)
        .map((p) => ({ period: p, ...drain(averageOf(own, draws, p)) }));
      return { ratio, points };
    }),
    ...(battery && {
      selfDischargeCurrent: (battery.selfDischarge.value * battery.capacity.value) / year,
    }),
    leftOn: leftOnOf(worksheet, channel, draws, charge / Math.max(period, time)),
    ...switchingOf(e),
    recalibration: recalibrationOf(e, charge),
  };
}

/** The phases on their time line. */
function timed(phases: readonly ReadingPhase[]): { phases: TimedPhase[]; time: number; charge: number } {
  const total = totalOf(phases);
  let start = 0;
  const placed = phases.map((p): TimedPhase => {
    const charge = p.current * p.time;
    const at = { ...p, start, charge, share: total.charge > 0 ? charge / total.charge : 0 };
    start += p.time;
    return at;
  });
  return { phases: placed, ...total };
}

/** Periods evenly spaced on a logarithmic axis, the present one among them. */
function periodsLookedAt(present: number): number[] {
  const { from, to, count } = periodSpan;
  const even = Array.from({ length: count }, (_, i) => from * (to / from) ** (i / (count - 1)));
  return [...even, present].sort((a, b) => a - b);
}

/**
 * Battery: what a reading takes from it, and how long it lasts.
 *
 * In come the phases of a reading, each with its current and time, the sleep current and the battery; out go charge and energy per
 * reading, the average current, the life, and what each doubling of the averaging costs.
 */
import { between, named, notNegative, or, positive, type Rule, refusal, whole } from '../numbers/guard.ts';
import { year } from '../numbers/units.ts';

/** A part of a reading during which the current is about the same. */
export interface Phase {
  readonly name: string;
  /** Current drawn from the battery, A, ≥ 0. */
  readonly current: number;
  /** How long, s, ≥ 0. */
  readonly time: number;
}

/** What a reading takes. */
export interface ReadingCost {
  /** Time the reading takes, s. */
  readonly time: number;
  /** Charge, C. */
  readonly charge: number;
  /** Energy, J. */
  readonly energy: number;
  /** The phases by falling charge. */
  readonly phases: readonly {
    readonly name: string;
    /** Charge, C. */
    readonly charge: number;
    /** Part of the reading's charge, 0 … 1; 0 if that is 0. */
    readonly share: number;
  }[];
}

/** A battery. */
export interface Battery {
  /** Nominal charge Q₀, C (1 mA·h is 3.6 C), > 0. */
  readonly capacity: number;
  /** Usable fraction u of the nominal charge, above 0, at most 1. */
  readonly usableFraction: number;
  /** Self-discharge d, part of the nominal charge in a year of 8760 h, 0 … 1. */
  readonly selfDischarge: number;
}

/** What a ratio costs. */
export interface RatioCost {
  /** Oversampling ratio R. */
  readonly ratio: number;
  /** Charge of a reading, C. */
  readonly charge: number;
  /** Average current, A. */
  readonly averageCurrent: number;
  /** Life of the battery, s; 'any' where nothing is drawn. */
  readonly life: number | 'any';
  /** Charge of a reading over that at half the ratio; 'none' for the first, and where that is 0. */
  readonly chargeFactor: number | 'none';
}

const phaseShape = {
  name: { allowed: 'a text', keeps: (v): v is string => typeof v === 'string' } as Rule<string>,
  current: notNegative('A'),
  time: notNegative('s'),
};
const phasesRule: Rule<readonly unknown[]> = {
  allowed: 'an array of phases {name, current, time}',
  keeps: (v): v is readonly unknown[] => Array.isArray(v),
};
const readPhases = (place: string, given: readonly unknown[]): Phase[] =>
  given.map((phase, i) => named(`${place}[${i}]`, phaseShape, phase));

const sumOf = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0);
const chargeOf = (phases: readonly Phase[]): number => sumOf(phases.map((p) => p.current * p.time));

/**
 * Time, charge and energy of a reading.
 *
 *     Q = Σ I·t,   E = V·Q
 *
 * @param phases - array of {name, current in A, time in s}
 * @param supply - battery voltage V, V, > 0
 * @returns time in s, charge in C, energy in J, and the phases by falling charge
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * readingCost({ phases: [{ name: 'wake', current: 1e-3, time: 2e-3 }, { name: 'convert', current: 4e-3, time: 1e-3 }], supply: 3 }).energy // => 1.8e-5
 */
export function readingCost(given: {
  readonly phases: readonly Phase[];
  readonly supply: number;
}): ReadingCost {
  const a = named('readingCost', { phases: phasesRule, supply: positive('V') }, given);
  const phases = readPhases('readingCost.phases', a.phases);
  const charge = chargeOf(phases);
  return {
    time: sumOf(phases.map((p) => p.time)),
    charge,
    energy: a.supply * charge,
    phases: phases
      .map(({ name, current, time }) => ({
        name,
        charge: current * time,
        share: charge > 0 ? (current * time) / charge : 0,
      }))
      .sort((x, y) => y.charge - x.charge),
  };
}

const averageShape = { phases: phasesRule, period: positive('s'), sleepCurrent: notNegative('A') };

function averageOf(caller: string, phases: readonly Phase[], period: number, sleepCurrent: number): number {
  const awake = sumOf(phases.map((p) => p.time));
  // One part in 1e12 for the rounding of phases that fill the period.
  if (awake > period * (1 + 1e-12)) {
    throw new RangeError(`${caller}.period: got ${period}; allowed from the time of the phases, ${awake} s`);
  }
  return (chargeOf(phases) + sleepCurrent * Math.max(0, period - awake)) / period;
}

/**
 * Average current of readings at even intervals, asleep between them.
 *
 *     I = (Σ I·t + I_sleep·(T − Σ t))/T
 *
 * @param phases - of one reading, array of {name, current in A, time in s}
 * @param period - from one reading to the next T, s, at least the time of the phases
 * @param sleepCurrent - I_sleep, everything that is drawn between readings, A, ≥ 0
 * @returns A
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * averageCurrent({ phases: [{ name: 'active', current: 1e-3, time: 20e-6 }], period: 1, sleepCurrent: 1e-6 }) // => 1.01998e-6
 */
export function averageCurrent(given: {
  readonly phases: readonly Phase[];
  readonly period: number;
  readonly sleepCurrent: number;
}): number {
  const a = named('averageCurrent', averageShape, given);
  return averageOf('averageCurrent', readPhases('averageCurrent.phases', a.phases), a.period, a.sleepCurrent);
}

const batteryShape = {
  capacity: positive('C'),
  usableFraction: between(1e-6, 1, ''),
  selfDischarge: between(0, 1, ''),
};

const lifeOf = (battery: Battery, current: number): number | 'any' => {
  const drain = current + (battery.selfDischarge * battery.capacity) / year;
  const life = (battery.usableFraction * battery.capacity) / drain;
  return Number.isFinite(life) ? life : 'any';
};

/**
 * Life of a battery under an average current, its self-discharge included.
 *
 *     u·Q₀/(I + d·Q₀/year)
 *
 * @param capacity - nominal charge Q₀, C (1 mA·h is 3.6 C), > 0
 * @param usableFraction - u, down to the voltage that the circuit needs, 1e-6 … 1
 * @param selfDischarge - d, linear, part of the nominal charge in a year of 8760 h, 0 … 1
 * @param averageCurrent - I, A, ≥ 0
 * @returns s; 'any' where nothing is drawn
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * batteryLife({ capacity: 810, usableFraction: 1, selfDischarge: 0.01, averageCurrent: 10e-6 }) / 31536000 // => 2.504173623
 */
export function batteryLife(given: Battery & { readonly averageCurrent: number }): number | 'any' {
  const { averageCurrent: current, ...battery } = named(
    'batteryLife',
    { ...batteryShape, averageCurrent: notNegative('A') },
    given,
  );
  return lifeOf(battery, current);
}

/**
 * What each doubling of the oversampling ratio costs the battery.
 *
 * @param phasesFor - function of the ratio R that returns the phases of a reading, array of {name, current in A, time in s}
 * @param largestRatio - the list goes over 1, 2, 4 … up to this, 1 … 65536; 256 if absent
 * @param period - from one reading to the next, s, at least the time of the phases at every ratio
 * @param sleepCurrent - everything that is drawn between readings, A, ≥ 0
 * @param battery - {capacity in C, usableFraction, selfDischarge}
 * @returns one entry for each ratio, rising
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * ratioCosts({ phasesFor: (ratio) => [{ name: 'convert', current: 1e-3, time: ratio * 1e-5 }], period: 1, sleepCurrent: 0, battery: { capacity: 810, usableFraction: 1, selfDischarge: 0 } })[3].chargeFactor // => 2.000
 */
export function ratioCosts(given: {
  readonly phasesFor: (ratio: number) => readonly Phase[];
  readonly largestRatio?: number | undefined;
  readonly period: number;
  readonly sleepCurrent: number;
  readonly battery: Battery;
}): RatioCost[] {
  const caller = 'ratioCosts';
  const a = named(
    caller,
    {
      phasesFor: {
        allowed: 'a function of the ratio that returns phases',
        keeps: (v): v is (ratio: number) => unknown => typeof v === 'function',
      } as Rule<(ratio: number) => unknown>,
      largestRatio: or(whole(1, 65536), 256),
      period: averageShape.period,
      sleepCurrent: averageShape.sleepCurrent,
      battery: {
        allowed: 'a battery {capacity, usableFraction, selfDischarge}',
        keeps: (v): v is object => typeof v === 'object' && v !== null,
      } as Rule<object>,
    },
    given,
  );
  const battery = named(`${caller}.battery`, batteryShape, a.battery);
  const costs: RatioCost[] = [];
  for (let ratio = 1; ratio <= a.largestRatio; ratio *= 2) {
    const place = `${caller}.phasesFor(${ratio})`;
    const list: unknown = a.phasesFor(ratio);
    if (!phasesRule.keeps(list)) throw new RangeError(refusal(place, list, phasesRule.allowed));
    const phases = readPhases(place, list);
    const charge = chargeOf(phases);
    const current = averageOf(caller, phases, a.period, a.sleepCurrent);
    const before = costs.at(-1)?.charge ?? 0;
    costs.push({
      ratio,
      charge,
      averageCurrent: current,
      life: lifeOf(battery, current),
      chargeFactor: before > 0 ? charge / before : 'none',
    });
  }
  return costs;
}

/**
 * Worth: what the settings of one ratio are worth, as far as they are judged.
 *
 * In come the plan, the ratio and the error of each shift; out goes the worth of a shift. What is dear is computed when a judge
 * first asks for it, and once for all shifts: a setting that fails by its step costs no settling and no battery.
 */
import { type BurstCharge, burstCharge } from '../budget/charge.ts';
import { largestResult } from '../chain/averaging/result.ts';
import type { Plan } from './plan.ts';
import { settlingUnit, type Worth } from './requirements.ts';

/** Random error of converter and quantization, rms, native LSB, for a ratio and a shift. */
export type ErrorLsb = (ratio: number, shift: number) => number;

/** What the shifts of one ratio have in common. */
export class RatioWorth {
  readonly plan: Plan;
  readonly ratio: number;
  readonly burst: BurstCharge;
  readonly errorLsb: ErrorLsb;
  #otherLsb: number | undefined;
  #settlingLsb: number | undefined;
  #life: { readonly life: number | undefined } | undefined;

  constructor(plan: Plan, ratio: number, errorLsb: ErrorLsb) {
    this.plan = plan;
    this.ratio = ratio;
    this.errorLsb = errorLsb;
    const { conversionTime, interval, converterCurrent, coreCurrent, excitationCurrent } = plan;
    this.burst = burstCharge({
      ratio,
      conversionTime,
      interval,
      converterCurrent,
      coreCurrent,
      excitationCurrent,
    });
  }

  /** Random error from other sources, rms, native LSB. */
  get otherLsb(): number {
    this.#otherLsb ??= this.plan.otherLsb(this.ratio);
    return this.#otherLsb;
  }

  /** |mean settling error|, native LSB. */
  get settlingLsb(): number {
    this.#settlingLsb ??= Math.abs(this.plan.settlingLsb(this.ratio));
    return this.#settlingLsb;
  }

  /** Life of the battery, s; undefined where nothing tells. */
  get life(): number | undefined {
    this.#life ??= { life: this.plan.life?.(this.burst) };
    return this.#life.life;
  }

  /** Until the next reading may start, s. */
  get time(): number {
    return this.plan.scan?.cycle(this.ratio) ?? this.burst.time;
  }

  /** From the start of a reading to its result, s. */
  get latency(): number {
    return this.plan.startTime + (this.plan.scan?.result(this.ratio) ?? this.burst.time);
  }

  at(shift: number): SettingWorth {
    return new SettingWorth(this, shift);
  }
}

/** What one setting is worth. */
export class SettingWorth implements Worth {
  readonly #of: RatioWorth;
  readonly shift: number;

  constructor(of: RatioWorth, shift: number) {
    this.#of = of;
    this.shift = shift;
  }

  /** One result code, native LSB. */
  get resultLsb(): number {
    return 2 ** this.shift / this.#of.ratio;
  }

  get rms(): number {
    const { plan, ratio, errorLsb, otherLsb } = this.#of;
    return plan.perCode * Math.hypot(errorLsb(ratio, this.shift), otherLsb);
  }

  get step(): number {
    return this.#of.plan.perCode * this.resultLsb;
  }

  get settlingLsb(): number {
    return this.#of.settlingLsb / settlingUnit(this.resultLsb);
  }

  get largestCode(): number {
    const { plan, ratio } = this.#of;
    return largestResult(plan.bits, ratio, this.shift, plan.rounding);
  }

  get registerBits(): number {
    return this.#of.plan.registerBits;
  }

  get time(): number {
    return this.#of.time;
  }

  get latency(): number {
    return this.#of.latency;
  }

  get life(): number | undefined {
    return this.#of.life;
  }
}

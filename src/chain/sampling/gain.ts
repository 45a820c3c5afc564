/**
 * The part of a step that is still missing: in the first conversion, in the steady state, or on the mean of a burst.
 *
 * The network is linear, so every error of a sampled voltage is (previousVoltage − sourceVoltage) times one of these. They lie
 * from 0 to 1, and grow with R_s throughout: the pin and C_s leak towards the source through R_s only. With the sample time
 * they fall in the first conversion, in the steady state and wherever C_s keeps its charge: charge put on C_s counts for
 * more than charge put on the pin, and y ≥ x while the switch is closed. Only on the mean of a burst with C_s put back to
 * the previous voltage can a longer sample time make the error larger: it empties a pin that does not recover. In a scan of
 * 20 000 networks more than 0.6 of the step was missing wherever that happened. No guards here.
 */
import { type Cycle, cycle, type Modes, pinWeight, type StartsAt, unsettledPart } from './network.ts';
import { eigen, meanPower, meanSum, pinFactor } from './powers.ts';

/** Which conversions count: the first, those after very many, or the mean of `ratio` after `discard`. */
export type Which = 'first' | 'steady' | { readonly discard: number; readonly ratio: number };

/** The part of the step that is missing in the conversions that count; `period` is not used for 'first'. */
export function missingPart(
  m: Modes,
  sampleTime: number,
  period: number,
  startsAt: StartsAt,
  which: Which,
): number {
  if (which === 'first') return unsettledPart(m, sampleTime);
  // C_s that keeps its charge arrives at the source in the end.
  if (startsAt === 'own' && which === 'steady') return 0;
  const c = cycle(m, sampleTime, period - sampleTime);
  if (which === 'steady') return c.sampleToSample + c.pinToSample * c.sampleToPin * (1 / pinFactor(c).loss);
  return meanOf(c, startsAt, which.discard)(which.ratio);
}

/** The same on the means of bursts of several ratios, of which each leaves out `discard`; what they share is found once. */
export function missingParts(
  m: Modes,
  sampleTime: number,
  period: number,
  startsAt: StartsAt,
  { discard, ratios }: { readonly discard: number; readonly ratios: readonly number[] },
): number[] {
  return ratios.map(meanOf(cycle(m, sampleTime, period - sampleTime), startsAt, discard));
}

/** The part that is missing on the mean of a burst, for its ratio. */
function meanOf(c: Cycle, startsAt: StartsAt, discard: number): (ratio: number) => number {
  if (startsAt === 'previous') {
    const f = pinFactor(c);
    return (ratio) => c.sampleToSample + c.pinToSample * c.sampleToPin * meanSum(f, discard, ratio);
  }
  const { high, low, highShare, lowShare } = eigen(c);
  return (ratio) =>
    highShare * meanPower(high, discard + 1, ratio) + lowShare * meanPower(low, discard + 1, ratio);
}

/** The part of the pin's deviation at the start of the first conversion that is left on C_s in those that count. */
export function wakePart(
  m: Modes,
  sampleTime: number,
  period: number,
  startsAt: StartsAt,
  which: Which,
): number {
  if (which === 'first') return pinWeight(m, sampleTime);
  if (which === 'steady') return 0;
  const { discard, ratio } = which;
  const c = cycle(m, sampleTime, period - sampleTime);
  if (startsAt === 'previous') return c.pinToSample * meanPower(pinFactor(c), discard, ratio);
  const { high, low, apart } = eigen(c);
  if (apart === 0) return 0;
  return (c.pinToSample / apart) * (meanPower(high, discard + 1, ratio) - meanPower(low, discard + 1, ratio));
}

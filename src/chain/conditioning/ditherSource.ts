/**
 * Dither source: a periodic wave that is added to the signal at the pin through a resistor.
 *
 * In: the wave, its swing and period, the resistor, and source and capacitance at the pin. Out: what of the wave stands at the pin,
 * and the resistor for a wanted span. A wave with whole periods in the burst has a mean that the boxcar nulls.
 */
import { choice, named, notNegative, positive } from '../../numbers/guard.ts';
import { rootBetween } from '../../numbers/roots.ts';

/** Shape of the wave ahead of the resistor. */
export type DitherWave = 'triangle' | 'square';

const shape = {
  wave: choice(['triangle', 'square']),
  swing: positive('V'),
  period: positive('s'),
  sourceResistance: positive('Ω'),
  capacitance: notNegative('F'),
};

/** A wave, and the pin that it is led to. */
interface Driven {
  readonly wave: DitherWave;
  readonly swing: number;
  readonly period: number;
  readonly sourceResistance: number;
  readonly capacitance: number;
}

function spanAt({ wave, swing, period, sourceResistance: source, capacitance }: Driven, resistor: number) {
  const divided = source / (source + resistor);
  const quarters = period / (4 * divided * resistor * capacitance);
  const passed = wave === 'square' ? Math.tanh(quarters) : triangleShare(quarters);
  return swing * divided * passed;
}

/** ln(cosh x)/x, x from 0. */
function triangleShare(x: number): number {
  if (x > 1e300) return 1;
  return x < 0.01 ? x / 2 - x ** 3 / 12 : 1 + (Math.log1p(Math.exp(-2 * x)) - Math.LN2) / x;
}

/**
 * Peak-to-peak span that a wave through a resistor has at the pin, in the steady state.
 *
 *     V·R_s/(R_s + R_d)·tanh(x) for a square wave, V·R_s/(R_s + R_d)·ln(cosh x)/x for a triangle,  x = P/(4τ), τ = (R_s‖R_d)·C_p
 *
 * A square wave whose period is at most about 2τ comes out as a triangle; a slower one stays a square, which holds two levels and
 * hardly smooths the staircase.
 *
 * @param wave - 'triangle' or 'square', half its period high
 * @param swing - peak to peak ahead of the resistor V, volts, above 0
 * @param period - P, seconds, above 0
 * @param resistor - R_d from the wave to the pin, Ω, above 0
 * @param sourceResistance - what drives the pin R_s, Ω, above 0
 * @param capacitance - at the pin C_p, F, from 0
 * @returns V peak to peak
 * @throws RangeError for an argument outside its range
 * @see own derivation: the periodic solution of one RC
 *
 * ditherSpan({ wave: 'triangle', swing: 3, period: 1e-3, resistor: 9e3, sourceResistance: 1e3, capacitance: 0 }) // => 0.3000
 */
export function ditherSpan(given: Driven & { readonly resistor: number }): number {
  const { resistor, ...driven } = named('ditherSpan', { ...shape, resistor: positive('Ω') }, given);
  return spanAt(driven, resistor);
}

/** Resistors that are looked at, Ω. */
const [least, largest] = [1e-3, 1e15];

/**
 * Resistor through which a wave has a wanted span at the pin.
 *
 * @param wave - 'triangle' or 'square', half its period high
 * @param swing - peak to peak ahead of the resistor, volts, above 0
 * @param period - seconds, above 0
 * @param sourceResistance - what drives the pin, Ω, above 0
 * @param capacitance - at the pin, F, from 0
 * @param span - wanted at the pin, V peak to peak, above 0
 * @returns Ω; 'none' where no resistor of 1 mΩ … 1 PΩ serves, as for a span of the swing and more
 * @throws RangeError for an argument outside its range
 *
 * ditherResistor({ wave: 'triangle', swing: 3, period: 1, sourceResistance: 1e3, capacitance: 0, span: 0.003 }) // => 999000
 */
export function ditherResistor(given: Driven & { readonly span: number }): number | 'none' {
  const { span, ...driven } = named('ditherResistor', { ...shape, span: positive('V') }, given);
  if (spanAt(driven, least) < span || spanAt(driven, largest) > span) return 'none';
  return Math.exp(
    rootBetween((x) => Math.log(spanAt(driven, Math.exp(x)) / span), Math.log(least), Math.log(largest)),
  );
}

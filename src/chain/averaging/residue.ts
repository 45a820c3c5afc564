/**
 * Residue: what the right shift drops, ρ = (S + r) mod g, for a modulus g = 2^t that divides the ratio R.
 *
 * With x the input and S the sum of R codes, the error of a result is (S + r − ρ)/R − x. Its mean and variance over noise and
 * input need, beside those of S, the following; ρ' is ρ − (g − 1)/2 and D is S − R·x:
 *
 *     mean   = E ρ'                      0 where the sum spans many results
 *     spread = E ρ'² − 2·E(D·ρ')         (g² − 1)/12 there
 *
 * At one input, with F_j = φ(ω_j)^R at ω_j = 2πj/g, the Fourier series is E ρ' = Σ a_j·e^{iω_j·r}·F_j, j = 1 … g − 1, where
 * a_j = −½ + (i/2)·cot(ω_j/2), and ρ'² has cot²(ω_j/2)/2 beside the same imaginary part. Since r is 0 or g/2, e^{iω_j·r} is
 * ε_j = ±1; at −x, F is the conjugate. The mean over both is real, summed over j = 1 … g/2, the last by half:
 *
 *     E ρ'             = −Σ ε_j·Re F_j
 *     E ρ'² − 2·E(D·ρ') = (g² − 1)/12 + Σ ε_j·cot(ω_j/2)·[cot(ω_j/2)·Re F_j + 2R·Im(F_j·(κ_j − x))],  κ = −i·φ'/φ
 *
 * |F| falls off like a normal density, so few terms count. Where g exceeds all that the sum spans, at most one edge of the shift
 * is within reach, and the sum's distribution on a smaller circle M gives the probability that it is passed.
 */
import { circleOf, emptyTerms, type Terms, termsInto } from './characteristic.ts';
import { type Codes, codesInto, emptyCodes } from './codes.ts';
import { positions } from './positions.ts';

/** A modulus g = 2^t, with the number r that is added first: 0, or g/2. */
export interface Modulus {
  readonly modulus: number;
  readonly added: number;
}

/** What the dropped part does to mean and variance, in units of one code of the sum. */
export interface Residue {
  /** E ρ'. */
  readonly mean: number;
  /** E ρ'² − 2·E(D·ρ'). */
  readonly spread: number;
}

/** Noise from which the staircase is smooth, LSB: it changes mean and spread by less than 1e-11 of a step. */
const smooth = 1.6;

/** A sum of R codes at one position. */
interface Sum {
  readonly ratio: number;
  readonly codes: Codes;
  /** Input x, LSB from the centre of code 0's bin. */
  input: number;
  /** Distance from its mean beyond which the sum is never found. */
  reach: number;
  /** Circle M on which its characteristic function is known. */
  circle: number;
  readonly terms: Terms;
}

/**
 * The dropped part for each modulus, over noise and input.
 *
 * @param noise - Gaussian noise σ, LSB rms, from 0
 * @param ratio - number of codes R in the sum; every modulus divides it
 * @param moduli - moduli with what is added before the shift
 * @returns one residue for each modulus
 */
export function residues(noise: number, ratio: number, moduli: readonly Modulus[]): Residue[] {
  const largest = moduli.reduce((most, { modulus }) => Math.max(most, modulus), 1);
  if (largest === 1 || noise >= smooth) {
    return moduli.map(({ modulus }) => ({ mean: 0, spread: (modulus * modulus - 1) / 12 }));
  }
  const codes = emptyCodes(noise);
  const { depths, weights, still } = positions(noise, ratio, codes);
  const sum: Sum = { ratio, codes, input: 0, reach: 0, circle: 0, terms: emptyTerms(largest) };
  const means = new Float64Array(moduli.length);
  const spreads = new Float64Array(moduli.length);
  moduli.forEach(({ modulus, added }, m) => {
    // Still positions: the sum is 0, and ρ = r.
    const rest = added - (modulus - 1) / 2;
    means[m] = still * rest;
    spreads[m] = still * rest * rest;
  });
  for (let n = 0; n < depths.length; n++) {
    const depth = depths[n]!;
    codesInto(noise, depth, codes);
    sum.input = 0.5 - depth;
    sum.reach = Math.min(ratio * (codes.count - 1), Math.ceil(7.5 * Math.sqrt(ratio * codes.variance) + 14));
    sum.circle = Math.min(largest, 2 ** Math.ceil(Math.log2(2 * sum.reach)));
    termsInto(codes, depth, ratio, sum.circle, sum.terms);
    for (let m = 0; m < moduli.length; m++) {
      const { mean, spread } =
        moduli[m]!.modulus <= sum.circle ? folded(sum, moduli[m]!) : edged(sum, moduli[m]!);
      means[m] = means[m]! + weights[n]! * mean;
      spreads[m] = spreads[m]! + weights[n]! * spread;
    }
  }
  return moduli.map((_, m) => ({ mean: means[m]!, spread: spreads[m]! }));
}

/** The dropped part at one position and its mirror image, by the Fourier series modulo g. */
function folded({ ratio, circle, terms }: Sum, { modulus, added }: Modulus): Residue {
  const { cot } = circleOf(circle);
  const stride = circle / modulus;
  let mean = 0;
  let spread = (modulus * modulus - 1) / 12;
  let sign = 1;
  for (let i = stride; i <= terms.count; i += stride) {
    if (added > 0) sign = -sign;
    const re = sign * (i === circle / 2 ? 0.5 : 1) * terms.re[i]!;
    mean -= re;
    spread += cot[i]! * (cot[i]! * re + 2 * ratio * sign * terms.moment[i]!);
  }
  return { mean, spread };
}

/** The same where at most one edge of the shift is within the sum's reach: from how often it is passed. */
function edged({ ratio, codes, input, reach, circle, terms }: Sum, { modulus, added }: Modulus): Residue {
  const sum = ratio * (input + codes.meanError);
  const middle = added - (modulus - 1) / 2;
  let mean = 0;
  let square = 0;
  for (let mirror = 1; mirror >= -1; mirror -= 2) {
    const next = Math.ceil((mirror * sum - reach + added) / modulus);
    const edge = next * modulus - added;
    let passed = 0;
    if (edge <= mirror * sum + reach) {
      passed =
        mirror > 0 ? exceedance(edge, sum, circle, terms) : 1 - exceedance(1 - edge, sum, circle, terms);
    }
    // D − ρ' before the edge and after it.
    const before = edge - modulus + added - middle - ratio * mirror * input;
    const after = before + modulus;
    mean += before + modulus * passed;
    square += before * before + passed * (after * after - before * before);
  }
  const deviation = ratio * codes.variance + (ratio * codes.meanError) ** 2;
  return { mean: -mean / 2, spread: square / 2 - deviation };
}

/**
 * Probability that a sum of mean `sum` is at least `edge`, from its characteristic function on a circle M that holds it once on
 * either side of the edge: floor((S − edge)/M) is then −1 or 0, and its mean is (S − edge − ρ_M)/M.
 */
function exceedance(edge: number, sum: number, circle: number, terms: Terms): number {
  const { cosec } = circleOf(circle);
  const angle = (-Math.PI * (2 * edge - 1)) / circle;
  const turnRe = Math.cos(angle);
  const turnIm = Math.sin(angle);
  let re = 1;
  let im = 0;
  let total = 0;
  for (let i = 1; i <= terms.count; i++) {
    const t = re * turnRe - im * turnIm;
    im = re * turnIm + im * turnRe;
    re = t;
    const share = cosec[i]! * (terms.im[i]! * re + terms.re[i]! * im);
    total += i === circle / 2 ? share / 2 : share;
  }
  return 1 + (sum - edge - (circle - 1) / 2 + total) / circle;
}

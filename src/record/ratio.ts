/** The quotient of two whole numbers that may lie beyond the doubles. */

const binaryDigits = (n: bigint): number => (n < 0n ? -n : n).toString(2).length;

/**
 * a/b in double precision.
 *
 * The quotient is taken to some 64 bits and rounded once.
 *
 * @param a - whole number
 * @param b - whole number, not 0
 * @returns a/b
 *
 * @example
 * ratio(10n ** 400n, 4n * 10n ** 400n) // => 0.25
 */
export function ratio(a: bigint, b: bigint): number {
  const excess = binaryDigits(a) - binaryDigits(b) - 64;
  const quotient = excess < 0 ? (a << BigInt(-excess)) / b : a / (b << BigInt(excess));
  return Number(quotient) * 2 ** excess;
}

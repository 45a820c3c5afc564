import { expect } from 'vitest';

/**
 * Expects `actual` to print as `published`: the tolerance is half a unit of the last printed digit, so it comes from the
 * source and is never tuned. Pass the value as printed: `'74.0'`, not `74`.
 */
export function expectPrinted(actual: number, published: string, what = ''): void {
  const [mantissa, exponent] = published.replace('−', '-').split(/e/i);
  const decimals = (mantissa!.split('.')[1] ?? '').length;
  const half = 0.5 * 10 ** (Number(exponent ?? 0) - decimals);
  const expected = Number(published.replace('−', '-'));
  expect(
    Math.abs(actual - expected) <= half * (1 + 1e-9),
    `${what}: published ${published}, computed ${actual} (allowed ±${half})`,
  ).toBe(true);
}

/** Expects `actual` within a relative (or, near zero, absolute) distance of `expected`. */
export function expectNear(
  actual: number,
  expected: number,
  relative: number,
  what = '',
  absolute = 0,
): void {
  const allowed = Math.max(Math.abs(expected) * relative, absolute);
  expect(
    Math.abs(actual - expected) <= allowed,
    `${what}: expected ${expected}, computed ${actual}, apart ${Math.abs(actual - expected)} (allowed ${allowed})`,
  ).toBe(true);
}

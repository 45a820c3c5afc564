/** An integer conversion in words. */
import type { ConversionCandidate, IntegerConversion, Method } from '../../firmware/integerConversion.ts';

export const methodWords: Readonly<Record<Method, string>> = {
  multiplier: 'multiplier, shift',
  polynomial: 'polynomial',
  table: 'table',
};

/** What was chosen, in a few words. */
export function formWords({ form }: IntegerConversion): string {
  switch (form.method) {
    case 'multiplier':
      return 'One multiplication and a shift';
    case 'polynomial':
      return `A polynomial of degree ${form.coefficients.length}`;
    case 'table':
      return `A table of ${form.entries.length} entries`;
  }
}

export const isChosen = (c: IntegerConversion, one: ConversionCandidate): boolean =>
  one.method === c.method && one.intermediates === c.intermediates;

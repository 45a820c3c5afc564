import { describe, expect, it } from 'vitest';
import { voltageFromResult } from '../../src/chain/averaging/result.ts';
import { supplyFromReference } from '../../src/chain/reading/supplyFromReference.ts';
import { supplyCorrection } from '../../src/firmware/supplyCorrection.ts';

const chains = [
  { bits: 12, firstTransition: 0.5, ratio: 1, shift: 0, rounding: 'truncate' },
  { bits: 12, firstTransition: 1, ratio: 1, shift: 0, rounding: 'truncate' },
  { bits: 12, firstTransition: 1, ratio: 16, shift: 4, rounding: 'round' },
  { bits: 12, firstTransition: 0.5, ratio: 64, shift: 3, rounding: 'truncate' },
  { bits: 10, firstTransition: 0.5, ratio: 100, shift: 4, rounding: 'round' },
] as const;

describe('against the formulas in real numbers', () => {
  it.each(chains)(
    '%o: within one code, and within half a millivolt and what rounding the reference adds',
    (chain) => {
      const [nominalSupply, internalReference] = [3.3, 1.2];
      const c = supplyCorrection({ ...chain, nominalSupply, internalReference });
      const perResult = (2 ** chain.bits * chain.ratio) / 2 ** chain.shift;
      // Volts of a code at a supply, by the rule of the averaged result; the supply from the voltage that the reference's code stands for.
      const share = (code: number): number => voltageFromResult({ ...chain, code, reference: 1 });
      for (let supply = 2; supply <= 3.6; supply += 0.0537) {
        const referenceCode = Math.round((internalReference / supply) * perResult);
        const exactSupply = internalReference / share(referenceCode);
        expect(Math.abs(c.supplyMillivolts(referenceCode) - exactSupply * 1000)).toBeLessThan(0.51);
        for (let code = 0; code <= c.largestCode; code += Math.ceil(c.largestCode / 197)) {
          const volts = share(code) * exactSupply;
          const corrected = c.correctedCode(code, referenceCode);
          const wanted = volts / nominalSupply;
          const off = (share(corrected) - wanted) * perResult;
          if (wanted < share(c.largestCode) && wanted > share(0)) expect(Math.abs(off)).toBeLessThan(1);
          else expect([0, c.largestCode]).toContain(corrected);
        }
      }
    },
  );

  it('of single conversions the supply is that of supplyFromReference, rounded', () => {
    const chain = { bits: 12, firstTransition: 0.5, ratio: 1, shift: 0, rounding: 'truncate' } as const;
    const c = supplyCorrection({ ...chain, nominalSupply: 3, internalReference: 1.2 });
    for (let referenceCode = 1000; referenceCode < 3000; referenceCode++) {
      const { voltage } = supplyFromReference({
        referenceVoltage: 1.2,
        referenceCode,
        bits: 12,
        firstTransition: 0.5,
      });
      expect(c.supplyMillivolts(referenceCode)).toBe(Math.round(voltage * 1000));
    }
  });
});

describe('limits', () => {
  it('at the nominal supply codes stay, at a lower supply they fall; a dead reference gives the end', () => {
    const c = supplyCorrection({ ...chains[3], nominalSupply: 3, internalReference: 1.2 });
    const nominal = Math.round((c.expected - c.addend) / 2 ** c.fractionBits);
    for (let code = 0; code <= c.largestCode; code += 11)
      expect(Math.abs(c.correctedCode(code, nominal) - code)).toBeLessThanOrEqual(2);
    // A sagging supply makes every code too high.
    expect(c.correctedCode(16000, Math.round(nominal * 1.2))).toBeLessThan(13400);
    expect(c.correctedCode(100, 0)).toBe(c.largestCode);
    expect(c.supplyMillivolts(0)).toBe(0);
  });

  it('says which width it needs', () => {
    const at = (ratio: number, shift: number) =>
      supplyCorrection({ ...chains[3], ratio, shift, nominalSupply: 3, internalReference: 1.2 });
    expect(at(1, 0).intermediates).toBe(32);
    expect(at(256, 0).intermediates).toBe(64);
    expect(at(256, 0).largestIntermediate).toBeLessThan(2 ** 53);
    expect(() => at(65536, 0)).toThrow('supplyCorrection.ratio: got 65536; allowed results of fewer bits');
    expect(() => supplyCorrection({ ...chains[0], nominalSupply: 1, internalReference: 1.2 })).toThrow(
      'supplyCorrection.internalReference: got 1.2; allowed below nominalSupply, 1 V',
    );
  });
});

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { codeDensity, codeDensityRecordLength } from '../../src/record/codeDensity.ts';
import { expectNear, expectPrinted } from '../close.ts';

describe('[HISTOGRAMPROBLEM] a 3-bit ramp: counts published, answers computed', () => {
  const out = codeDensity({ counts: [6, 6, 5, 6, 4, 6, 5, 6], first: 0, stimulus: 'ramp' });

  it('mean count 5.33333, DNL of codes 1 … 6', () => {
    expectPrinted(out.meanCount, '5.33333');
    ['0.1250', '-0.0625', '0.1250', '-0.2500', '0.1250', '-0.0625'].forEach((text, k) => {
      expectPrinted(out.dnlLsb[k]!, text, `code ${k + 1}`);
    });
    expect([out.firstCode, out.worstDnlLsb]).toEqual([1, -0.25]);
  });

  it('INL adds DNL up, and ends at 0', () => {
    let sum = 0;
    out.dnlLsb.forEach((d, k) => {
      expectNear(out.inlLsb[k]!, sum, 0, `code ${k + 1}`, 1e-14);
      sum += d;
    });
    expectNear(out.inlLsb[6]!, 0, 0, '', 1e-14);
  });
});

describe('[JSSC1984] codes to record for a sine (from memory)', () => {
  it('8 bits, 0.1 LSB, 99 %: 268 000 with z = 2.58; 10 bits: 1.07 million', () => {
    const at = (bits: number) =>
      codeDensityRecordLength({ bits, errorLsb: 0.1, confidence: 0.99, stimulus: 'sine' });
    expectNear(at(8), 268000, 0.01);
    expectNear(at(8), 266805.02296443045, 1e-12);
    expectPrinted(at(10) / 1e6, '1.07');
  });

  it('simulated: 6 bits, 0.2 LSB, 90 %, 300 records, seed 3: as many DNL within as said', () => {
    const random = seededRandom(3);
    for (const stimulus of ['ramp', 'sine'] as const) {
      const count = Math.ceil(codeDensityRecordLength({ bits: 6, errorLsb: 0.2, confidence: 0.9, stimulus }));
      let within = 0;
      for (let r = 0; r < 300; r++) {
        const counts = new Float64Array(64);
        for (let i = 0; i < count; i++) {
          const u = random.uniform();
          const x = stimulus === 'ramp' ? 64 * u : 32 - 32 * Math.cos(Math.PI * u);
          counts[Math.min(63, Math.floor(x))]!++;
        }
        // The formula is for the middle of a sine, where a code is met least.
        if (Math.abs(codeDensity({ counts, first: 0, stimulus }).dnlLsb[31]!) <= 0.2) within++;
      }
      // 90 % of 300 is 270 ± 5.
      expectNear(within, 270, 0, stimulus, 20);
    }
  });
});

describe('a converter of known transitions', () => {
  const bits = 8;
  const random = seededRandom(9);
  // Transitions off by up to 0.3 LSB, and one code missing.
  const transitions = Float64Array.from({ length: 255 }, (_, k) => k + 0.6 * (random.uniform() - 0.5));
  transitions[100] = transitions[99]!;
  const width = (transitions[254]! - transitions[0]!) / 254;
  const codeOf = (x: number): number => {
    let k = Math.max(0, Math.min(254, Math.round(x) - 1));
    while (k > 0 && transitions[k - 1]! > x) k--;
    while (k < 255 && transitions[k]! <= x) k++;
    return k;
  };

  it.each(['ramp', 'sine'] as const)('%s: DNL and INL to the resolution of 4·10⁶ codes', (stimulus) => {
    const counts = new Float64Array(2 ** bits);
    const count = 4e6;
    for (let i = 0; i < count; i++) {
      const u = (i + 0.5) / count;
      // Beyond both ends by 5 codes; a sine's offset and amplitude need not be known.
      const x = stimulus === 'ramp' ? -5 + 264 * u : 126.3 - 133 * Math.cos(Math.PI * u);
      counts[codeOf(x)]!++;
    }
    const { dnlLsb, inlLsb, missingCodes } = codeDensity({ counts, first: 0, stimulus });
    expect(missingCodes).toEqual([100]);
    // One count in 4·10⁶ is 1e-4 LSB of a sine in the middle.
    for (let k = 0; k < 254; k++) {
      expectNear(dnlLsb[k]!, (transitions[k + 1]! - transitions[k]!) / width - 1, 0, `DNL ${k}`, 3e-4);
      expectNear(inlLsb[k]!, (transitions[k]! - transitions[0]!) / width - k, 0, `INL ${k}`, 3e-4);
    }
  });

  it('a part of the range: codes between the lowest and highest that occur', () => {
    const out = codeDensity({ counts: [0, 0, 9, 4, 4, 4, 7, 0], first: 50, stimulus: 'ramp' });
    expect([out.firstCode, [...out.dnlLsb]]).toEqual([53, [0, 0, 0]]);
  });
});

describe('errors', () => {
  it('counts', () => {
    expect(() => codeDensity({ counts: [1, 2, 3], first: 0, stimulus: 'ramp' })).toThrow(
      'codeDensity.counts',
    );
    expect(() => codeDensity({ counts: [0, 2, 3, 1], first: 0, stimulus: 'ramp' })).toThrow(
      'codeDensity.counts: got 1 codes between the ends; allowed 2 or more',
    );
    expect(() => codeDensity({ counts: [1, 0, 0, 1], first: 0, stimulus: 'sine' })).toThrow(
      'got nothing between the ends',
    );
    expect(() => codeDensity({ counts: [1, -1, 2, 1], first: 0, stimulus: 'ramp' })).toThrow(
      'codeDensity.counts',
    );
  });

  it('arguments', () => {
    expect(() =>
      codeDensityRecordLength({ bits: 8, errorLsb: 0, confidence: 0.9, stimulus: 'ramp' }),
    ).toThrow('codeDensityRecordLength.errorLsb: got 0');
  });
});

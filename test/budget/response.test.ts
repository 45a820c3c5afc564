import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  aliasFrequency,
  aliasMap,
  boxcarNoiseBandwidth,
  chainGain,
  cornerFrequency,
  lowPassGain,
  lowPassNoiseBandwidth,
} from '../../src/budget/response.ts';
import { boxcarGain } from '../../src/chain/averaging/boxcar.ts';
import { expectNear, expectPrinted } from '../close.ts';

const attenuationDb = (gain: number) => -20 * Math.log10(gain);

describe('published: [BOXCARTHREAD], corner of the mean of many over the rate', () => {
  it('0.44294/√(R² − 1): 0.2 % at 8, 1e-5 at 256 (0.45829, another answer there, is off by 3 %)', () => {
    for (const [ratio, off] of [
      [8, 2e-3],
      [16, 5e-4],
      [256, 2e-5],
    ] as const) {
      expectNear(cornerFrequency({ interval: 1, ratio }) as number, 0.44294 / Math.sqrt(ratio ** 2 - 1), off);
    }
    // The constant itself is where sin(πx)/(πx) is 1/√2.
    expectPrinted(65536 * (cornerFrequency({ interval: 1, ratio: 65536 }) as number), '0.442946471');
  });
});

describe('textbook figures (values from memory)', () => {
  it('first side lobe of the mean of many: −13.26 dB at 1.430 widths', () => {
    let best = { x: 0, gain: 0 };
    for (let x = 1; x < 2; x += 1e-5) {
      const gain = Math.abs(boxcarGain({ frequency: x, interval: 1 / 65536, ratio: 65536 }));
      if (gain > best.gain) best = { x, gain };
    }
    expectPrinted(best.x, '1.430');
    expectPrinted(attenuationDb(best.gain), '13.26');
  });

  it('the noise bandwidth of a low-pass is 1.571 of its corner: 2500 Hz for 1 kΩ and 100 nF', () => {
    const corner = cornerFrequency({ interval: 1e-9, ratio: 1, timeConstants: [1e-4] }) as number;
    expectPrinted(corner, '1591.549431');
    expectPrinted(lowPassNoiseBandwidth({ timeConstant: 1e-4 }) / corner, '1.571');
    expectPrinted(lowPassNoiseBandwidth({ timeConstant: 1e-4 }), '2500');
    expectPrinted(lowPassNoiseBandwidth({ timeConstant: 4.7e3 * 10e-9 }), '5319.148936');
  });
});

describe('formula values', () => {
  it.each([
    [2, '0.25'],
    [4, '0.1138481065'],
    [8, '0.05574541828'],
    [16, '0.02773093874'],
    [256, '0.001730271045'],
  ])('corner of the mean of %i over the rate', (ratio, corner) => {
    expectPrinted(cornerFrequency({ interval: 1, ratio }) as number, corner);
  });

  it('nulls at multiples of rate over ratio: 20 at 1 kHz null 50 Hz, 100 null 50 and 60 Hz', () => {
    // A phase of up to 60 rad is rounded, to 1e-14.
    for (let k = 1; k < 20; k++) {
      expectNear(chainGain({ frequency: 50 * k, interval: 1e-3, ratio: 20 }), 0, 0, `${k}`, 1e-14);
    }
    for (const frequency of [50, 60]) {
      expectNear(chainGain({ frequency, interval: 1e-3, ratio: 100 }), 0, 0, `${frequency}`, 1e-14);
    }
  });

  it('attenuations in dB', () => {
    expectPrinted(attenuationDb(chainGain({ frequency: 49.5, interval: 1e-3, ratio: 20 })), '39.87909597');
    expectPrinted(attenuationDb(lowPassGain({ frequency: 99e3, timeConstant: 1e-4 })), '35.87742353');
    expectPrinted(attenuationDb(lowPassGain({ frequency: 250e3, timeConstant: 4.7e-5 })), '37.36515143');
    expectPrinted(boxcarNoiseBandwidth({ interval: 1, ratio: 16 }), '0.03125');
  });

  it('aliases at 10 kHz: 12.3 kHz is 2.3 kHz, 27.9 kHz is 2.1 kHz', () => {
    expect(aliasFrequency({ frequency: 12.3e3, rate: 10e3 }).frequency).toBe(2300);
    expect(aliasFrequency({ frequency: 27.9e3, rate: 10e3 })).toEqual({ frequency: 2100, multiple: 3 });
  });
});

describe('against sums over a sampled sine', () => {
  it('the gain is the amplitude that the mean really has, over phase; the low-passes multiply', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 5000, noNaN: true }),
        fc.integer({ min: 1, max: 300 }),
        fc.double({ min: 0, max: 1e-3, noNaN: true }),
        (frequency, ratio, tau) => {
          const interval = 1e-3;
          let [cosine, sine] = [0, 0];
          for (let i = 0; i < ratio; i++) {
            cosine += Math.cos(2 * Math.PI * frequency * i * interval) / ratio;
            sine += Math.sin(2 * Math.PI * frequency * i * interval) / ratio;
          }
          const lowPass = 1 / Math.sqrt(1 + (2 * Math.PI * frequency * tau) ** 2);
          expectNear(
            chainGain({ frequency, interval, ratio, timeConstants: [tau, tau] }),
            Math.hypot(cosine, sine) * lowPass ** 2,
            1e-9,
            `${frequency} Hz, R ${ratio}`,
            1e-11,
          );
        },
      ),
      { seed: 1 },
    );
  });

  it('a sine and its alias have the same samples but for sign', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 50, noNaN: true }), (frequency) => {
        const alias = aliasFrequency({ frequency, rate: 2 }).frequency;
        expect(alias).toBeLessThanOrEqual(1);
        for (let n = 0; n < 20; n++) {
          expectNear(Math.cos(Math.PI * frequency * n), Math.cos(Math.PI * alias * n), 0, `${n}`, 1e-10);
        }
      }),
      { seed: 2 },
    );
  });

  it('the boxcar passes as much white noise as its bandwidth says: ∫|H|² over 0 … 1/2T', () => {
    for (const ratio of [1, 2, 5, 64]) {
      let sum = 0;
      // Even steps over a period of a trigonometric polynomial integrate it exactly.
      for (let i = 0; i < 1000; i++) {
        sum += boxcarGain({ frequency: (i + 0.5) / 2000, interval: 1, ratio }) ** 2 / 2000;
      }
      expectNear(boxcarNoiseBandwidth({ interval: 1, ratio }), sum, 1e-12);
    }
  });
});

describe('alias map', () => {
  const map = aliasMap({ rate: 100, passband: 2, highest: 2000, interval: 1e-3, ratio: 10 });

  it('has the bands about every multiple of the reading rate, and no frequency within is above the gain', () => {
    expect(map).toHaveLength(20);
    map.forEach((band, i) => {
      expect([band.low, band.high]).toEqual([100 * (i + 1) - 2, 100 * (i + 1) + 2]);
      for (let f = band.low; f <= band.high; f += 0.125) {
        expect(chainGain({ frequency: f, interval: 1e-3, ratio: 10 })).toBeLessThanOrEqual(
          band.gain * 1.0001,
        );
      }
    });
  });

  it('the mean rejects all but those at multiples of the conversion rate, which only a low-pass can', () => {
    map.forEach((band, i) => {
      if ((i + 1) % 10 === 0) expect(band.gain).toBe(1);
      else expect(band.gain).toBeLessThan(0.03);
    });
    const filtered = aliasMap({
      rate: 100,
      passband: 2,
      highest: 1000,
      interval: 1e-3,
      ratio: 10,
      timeConstants: [1e-3],
    });
    expectNear(filtered[9]!.gain, 1 / Math.hypot(1, 2 * Math.PI), 3e-3);
  });
});

describe('limits', () => {
  it('a single conversion behind nothing has no corner; no low-pass is no loss', () => {
    expect(cornerFrequency({ interval: 1, ratio: 1 })).toBe('none');
    expect(cornerFrequency({ interval: 1, ratio: 1, timeConstants: [0] })).toBe('none');
    expect(chainGain({ frequency: 0, interval: 1, ratio: 65536, timeConstants: [1e12] })).toBe(1);
    expect(aliasMap({ rate: 100, passband: 1, highest: 98, interval: 1, ratio: 1 })).toEqual([]);
    expect(aliasMap({ rate: 100, passband: 0, highest: 100, interval: 1e-3, ratio: 1 })).toEqual([
      { low: 100, high: 100, gain: 1 },
    ]);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => chainGain({ frequency: -1, interval: 1, ratio: 1 })).toThrow(
      new RangeError('chainGain.frequency: got -1; allowed 0 … 1000000000000000 Hz'),
    );
    expect(() => chainGain({ frequency: 1, interval: 1, ratio: 1, timeConstants: [-1] })).toThrow(
      new RangeError('chainGain.timeConstants: got an array of 1; allowed an array of numbers 0 … 1e12 s'),
    );
    expect(() => aliasMap({ rate: 100, passband: 51, highest: 1, interval: 1, ratio: 1 })).toThrow(
      new RangeError('aliasMap.passband: got 51; allowed 0 … 50 Hz'),
    );
    expect(() => aliasMap({ rate: 1, passband: 0, highest: 5000, interval: 1, ratio: 1 })).toThrow(
      new RangeError('aliasMap.highest: got 5000; allowed 0 … 4096 Hz'),
    );
    expect(() => aliasFrequency({ frequency: 1, rate: 0 })).toThrow(
      new RangeError('aliasFrequency.rate: got 0; allowed finite numbers above 0 Hz'),
    );
  });
});

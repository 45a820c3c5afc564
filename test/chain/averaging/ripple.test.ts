import { describe, it } from 'vitest';
import { rippleSquare } from '../../../src/chain/averaging/ripple.ts';
import { expectNear, expectPrinted } from '../../close.ts';

describe('ripple of the mean transfer curve', () => {
  it('1/12 without noise, 2.62e-6 at σ = 0.5', () => {
    expectNear(rippleSquare(0), 1 / 12, 1e-15);
    expectPrinted(rippleSquare(0.5), '2.62e-6');
  });

  it('is 1/12 − σ/√π + σ² below σ = 0.15, to 1e-7', () => {
    for (let noise = 0.001; noise < 0.15; noise += 0.001) {
      expectNear(
        rippleSquare(noise),
        1 / 12 - noise / Math.sqrt(Math.PI) + noise ** 2,
        0,
        `σ ${noise}`,
        1e-7,
      );
    }
  });

  it('is the sum over harmonics, taken long, on both sides of the change of method', () => {
    for (const noise of [0.02, 0.1, 0.15, 0.2, 0.249999, 0.25, 0.3, 0.7, 1.5]) {
      let sum = 0;
      for (let k = 200; k >= 1; k--)
        sum += Math.exp(-4 * (Math.PI * k * noise) ** 2) / (2 * (Math.PI * k) ** 2);
      expectNear(rippleSquare(noise), sum, 1e-13, `σ ${noise}`, 1e-16);
    }
  });
});

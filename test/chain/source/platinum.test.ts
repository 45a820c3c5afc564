import { describe, expect, it } from 'vitest';
import { platinum } from '../../../src/chain/source/platinum.ts';
import { expectNear, expectPrinted } from '../../close.ts';
import { sensorLaws } from './laws.ts';
import { publishedRows } from './published.ts';

describe('published: [IEC60751], 100 Ω', () => {
  const s = platinum({ r0: 100 });

  it('every 10 °C, -200 … 850 °C, to the six decimals', () => {
    const rows = publishedRows('platinum-100-every10.csv');
    expect(rows.length).toBe(106);
    for (const [celsius, ohms] of rows)
      expectPrinted(s.toElectrical(Number(celsius)), ohms!, `${celsius} °C`);
  });

  it.each([
    [-200, '18.52'],
    [-150, '39.72'],
    [-100, '60.26'],
    [0, '100.00'],
    [25, '109.73'],
    [100, '138.51'],
    [200, '175.86'],
    [300, '212.05'],
    [500, '280.98'],
    [600, '313.71'],
    [800, '375.70'],
    [850, '390.48'],
  ])('table 1 (value from memory) at %d °C: %s Ω', (celsius, ohms) =>
    expectPrinted(s.toElectrical(celsius), ohms),
  );

  it.each([
    [-200, 18.52008],
    [-100, 60.25584],
    [100, 138.5055],
    [850, 390.481125],
  ])('formula at %d °C', (celsius, ohms) => expectNear(s.toElectrical(celsius), ohms, 1e-9));

  it.each([
    [138.5055, 100],
    [60.2558, -100.000099],
    [88.22, -30.0042002],
  ])('inverse at %d Ω, computed apart', (ohms, celsius) =>
    expectNear(s.toMeasurand(ohms), celsius, 0, '', 1e-6),
  );

  it('the approximate inverse of [LOGGERMANUAL] below 0 °C is 1.668 mK off at its worst, as computed apart', () => {
    let worst = 0;
    for (let t = -200; t <= 0; t += 0.01) {
      const k = s.toElectrical(Math.min(t, 0)) / 100 - 1;
      const estimate = k * (255.819 + k * (9.1455 + k * (-2.92363 + k * 1.7909)));
      worst = Math.max(worst, Math.abs(estimate - s.toMeasurand(100 * (1 + k))));
    }
    expectPrinted(worst, '0.001668');
  });

  it.each([
    ['A', 0, '0.15'],
    ['A', 100, '0.35'],
    ['B', 0, '0.3'],
    ['B', 100, '0.8'],
    ['B', -200, '1.3'],
    ['B', 400, '2.3'],
  ] as const)('class %s at %d °C: %s K', (grade, celsius, kelvin) => {
    expectNear(platinum({ r0: 100, class: grade }).tolerance!(celsius), Number(kelvin), 1e-14);
  });

  it.each([
    ['AA', 0, 0.1],
    ['AA', 100, 0.27],
    ['C', 0, 0.6],
    ['C', -100, 1.6],
  ] as const)('class %s at %d °C (value from memory): %d K', (grade, celsius, kelvin) => {
    expectNear(platinum({ r0: 100, class: grade }).tolerance!(celsius), kelvin, 1e-14);
  });

  it.each([
    ['B', 0, '0.12'],
    ['B', 100, '0.30'],
    ['A', 100, '0.13'],
  ] as const)('class %s at %d °C in Ω (value from memory): %s', (grade, celsius, ohms) => {
    expectPrinted(platinum({ r0: 100, class: grade }).tolerance!(celsius) * s.slope(celsius), ohms);
  });
});

describe('laws', () => {
  sensorLaws('100 Ω', () => platinum({ r0: 100, class: 'B' }));
  sensorLaws('1000 Ω', () => platinum({ r0: 1000 }));

  it('there and back to 1e-9 K, every 0.01 K', () => {
    const s = platinum({ r0: 100 });
    for (let i = -20000; i <= 85000; i++) {
      const t = i / 100;
      if (Math.abs(s.toMeasurand(s.toElectrical(t)) - t) > 1e-9)
        expectNear(s.toMeasurand(s.toElectrical(t)), t, 0, '', 1e-9);
    }
  });

  it('the slope has no step at 0 °C', () => {
    const s = platinum({ r0: 100 });
    expectNear(s.slope(-1e-9), s.slope(0), 1e-11);
    expect(s.slope(0)).toBe(100 * 3.9083e-3);
  });

  it('R is in proportion to R0', () => {
    for (let t = -200; t <= 850; t += 50) {
      expectNear(platinum({ r0: 1000 }).toElectrical(t), 10 * platinum({ r0: 100 }).toElectrical(t), 1e-15);
    }
  });

  it('has no tolerance without a class', () => expect(platinum({ r0: 100 }).tolerance).toBeUndefined());
});

describe('errors', () => {
  it.each([
    [{}, RangeError, 'platinum.r0: got undefined; allowed finite numbers above 0 Ω'],
    [{ r0: -100 }, RangeError, 'platinum.r0: got -100; allowed finite numbers above 0 Ω'],
    [{ r0: 100, class: 'D' }, RangeError, `platinum.class: got "D"; allowed 'AA' or 'A' or 'B' or 'C'`],
    [{ r0: 100, clas: 'A' }, TypeError, 'platinum: no argument is named "clas"; the nearest is "class"'],
  ])('%j', (given, kind, message) => {
    expect(() => platinum(given as never)).toThrow(kind);
    expect(() => platinum(given as never)).toThrow(message);
  });

  it('outside the range, by name', () => {
    const s = platinum({ r0: 100 });
    expect(() => s.toElectrical(851)).toThrow('platinum.toElectrical: got 851; allowed -200 … 850 °C');
    expect(() => s.toMeasurand(18)).toThrow('platinum.toMeasurand: got 18; allowed 18.52008');
  });
});

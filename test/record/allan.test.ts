import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { type AllanKind, allanDeviation } from '../../src/record/allan.ts';
import { allanStream } from '../../src/record/allanStream.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { column, uniforms } from './series.ts';

const nine = column('allan-9.csv', 'y');
const thousand = column('allan-1000.csv', 'y');
const kinds: AllanKind[] = ['adjacent', 'overlapping', 'modified'];

/** The definition, by means of spans: no sums of sums, no shortcuts. */
function byDefinition(
  values: ArrayLike<number>,
  m: number,
  kind: AllanKind,
): { deviation: number; terms: number } {
  const meanAt = (n: number): number => {
    let sum = 0;
    for (let i = 0; i < m; i++) sum += values[n + i]!;
    return sum / m;
  };
  const squares: number[] = [];
  const spread = kind === 'modified' ? m : 1;
  for (let n = 0; n + 2 * m + spread - 1 <= values.length; n += kind === 'adjacent' ? m : 1) {
    let difference = 0;
    for (let i = 0; i < spread; i++) difference += (meanAt(n + m + i) - meanAt(n + i)) / spread;
    squares.push(difference ** 2);
  }
  return {
    deviation: Math.sqrt(squares.reduce((sum, d) => sum + d, 0) / squares.length / 2),
    terms: squares.length,
  };
}

describe('published: [SP1065] table 30, 9 values, tau0 = 1 s', () => {
  it.each([
    ['adjacent', '91.22945', '115.8082', 8, 3],
    ['overlapping', '91.22945', '85.95287', 8, 6],
    ['modified', '91.22945', '74.78849', 8, 5],
  ] as const)('%s', (kind, one, two, termsOfOne, termsOfTwo) => {
    const points = allanDeviation({ values: nine, rate: 1, kind, factors: [1, 2] });
    expectPrinted(points[0]!.deviation, one);
    expectPrinted(points[1]!.deviation, two);
    expect(points.map((p) => p.terms)).toEqual([termsOfOne, termsOfTwo]);
  });
});

describe('published: [SP1065] table 31, 1000 values, tau0 = 1 s', () => {
  it('the values come of the recipe in 12.4', () => {
    expect(thousand).toEqual(uniforms(1234567890, 1000));
  });

  it.each([
    ['adjacent', '2.922319e-01', '9.965736e-02', '3.897804e-02'],
    ['overlapping', '2.922319e-01', '9.159953e-02', '3.241343e-02'],
    ['modified', '2.922319e-01', '6.172376e-02', '2.170921e-02'],
  ] as const)('%s at 1, 10, 100 s', (kind, ...printed) => {
    const points = allanDeviation({ values: thousand, rate: 1, kind, factors: [1, 10, 100] });
    printed.forEach((text, i) => {
      expectPrinted(points[i]!.deviation, text, `factor ${points[i]!.factor}`);
    });
  });
});

describe('computed by another program from the same definitions', () => {
  it.each([
    ['adjacent', '2.0510162e-01', '5.6534050e-02', '3.2549905e-02'],
    ['overlapping', '2.0101604e-01', '5.3699667e-02', '3.6237213e-02'],
    ['modified', '1.5820720e-01', '3.7813715e-02', '2.7871051e-02'],
  ] as const)('%s at 2, 20, 64 s', (kind, ...printed) => {
    const points = allanDeviation({ values: thousand, rate: 1, kind, factors: [2, 20, 64] });
    printed.forEach((text, i) => {
      expectPrinted(points[i]!.deviation, text);
    });
  });
});

describe('by the definition, span by span', () => {
  it.each(kinds)('%s, 60 records', (kind) => {
    const record = fc.array(fc.integer({ min: 0, max: 4095 }), { minLength: 5, maxLength: 60 });
    fc.assert(
      fc.property(record, fc.nat(20), (values, choice) => {
        const most = Math.floor(kind === 'modified' ? (values.length + 1) / 3 : values.length / 2);
        const factor = 1 + (choice % most);
        const point = allanDeviation({ values, rate: 10, kind, factors: [factor] })[0]!;
        const expected = byDefinition(values, factor, kind);
        expect(point.terms).toBe(expected.terms);
        expectNear(point.deviation, expected.deviation, 1e-10, '', 1e-9);
        expectNear(point.tau, factor / 10, 1e-15);
      }),
      { seed: 12, numRuns: 60 },
    );
  });
});

describe('properties', () => {
  it('an offset changes nothing, a factor passes through', () => {
    const at = (values: number[]) =>
      allanDeviation({ values, rate: 1, kind: 'overlapping' }).map((p) => p.deviation);
    const base = at(nine);
    expect(at(nine.map((y) => y + 1e9))).toEqual(base);
    at(nine.map((y) => -8 * y)).forEach((d, i) => {
      expectNear(d, 8 * base[i]!, 1e-14);
    });
  });

  it('values that are not whole keep their digits on top of a large mean', () => {
    const noise = seededRandom(4).fillNormal(new Float64Array(1e5));
    const at = (offset: number) =>
      allanDeviation({ values: noise.map((z) => offset + 0.1 * z), rate: 1, kind: 'overlapping' });
    const base = at(0);
    // 10⁸ holds 0.1·z to 1.5e-8; sums that kept the mean would be known to 2e-3 only.
    at(1e8).forEach((p, i) => {
      expectNear(p.deviation, base[i]!.deviation, 1e-6, `factor ${p.factor}`);
    });
  });

  it('a straight line rises as slope·τ/√2, at every kind', () => {
    const values = Array.from({ length: 200 }, (_, i) => 3 * i);
    for (const kind of kinds)
      for (const { tau, deviation } of allanDeviation({ values, rate: 4, kind, factors: [1, 5, 30] }))
        expectNear(deviation, (3 * 4 * tau) / Math.SQRT2, 1e-12, kind);
  });

  it('white noise falls with √τ: 10⁶ values, seed 3, within five standard deviations', () => {
    const values = seededRandom(3).fillNormal(new Float64Array(1e6));
    for (const { factor, deviation } of allanDeviation({ values, rate: 1, kind: 'overlapping' })) {
      if (factor > 1e4) continue;
      expectNear(deviation, 1 / Math.sqrt(factor), 5 * Math.sqrt(factor / (2e6 * 1.5)) + 0.004);
    }
  });

  it('factors unless given: octaves up to a third', () => {
    const at = (count: number) =>
      allanDeviation({ values: thousand.slice(0, count), rate: 1, kind: 'modified' }).map((p) => p.factor);
    expect(at(2)).toEqual([1]);
    expect(at(23)).toEqual([1, 2, 4]);
    expect(at(24)).toEqual([1, 2, 4, 8]);
  });
});

describe('in pieces', () => {
  const count = 700_000;
  const noise = seededRandom(9).fillNormal(new Float64Array(count));
  const codes = Int32Array.from(noise, (z, i) => Math.floor(2000 + 4 * z + i * 2e-5));

  it('equals the whole record, term by term, up to factor 2^16, whatever the pieces', () => {
    const whole = allanDeviation({ values: codes, rate: 50, kind: 'overlapping' });
    for (const piece of [count, 99_991, 16_385]) {
      const stream = allanStream({ rate: 50 });
      for (let i = 0; i < count; i += piece) stream.add(codes.subarray(i, i + piece));
      const points = stream.points();
      expect(points.map(({ factor, tau, terms, stride }) => [factor, tau, terms, stride])).toEqual(
        whole.map(({ factor, tau, terms }) =>
          factor <= 65536
            ? [factor, tau, terms, 1]
            : [factor, tau, Math.ceil(terms / (factor / 65536)), factor / 65536],
        ),
      );
      points.forEach((p, i) => {
        // Sums are exact; their squares are added in another order. Thinned points tell the same to a few 1e-6 of white noise.
        expectNear(p.deviation, whole[i]!.deviation, p.stride === 1 ? 1e-11 : 1e-6, `factor ${p.factor}`);
      });
    }
  });

  it('thinned points are those of every second span', () => {
    const factor = 2 ** 17;
    const stream = allanStream({ rate: 1 });
    stream.add(codes);
    const sums = new Float64Array(count + 1);
    codes.forEach((code, i) => {
      sums[i + 1] = sums[i]! + code;
    });
    let squares = 0;
    let terms = 0;
    for (let n = 0; n + 2 * factor <= count; n += 2, terms++)
      squares += (sums[n + 2 * factor]! - 2 * sums[n + factor]! + sums[n]!) ** 2;
    const point = stream.points().find((p) => p.factor === factor)!;
    expect(point.terms).toBe(terms);
    // Added in another order: 2·10⁵ squares beyond 2^53, each rounded.
    expectNear(point.deviation, Math.sqrt(squares / terms / 2) / factor, 1e-11);
  });

  it('may be asked at any time, and goes on', () => {
    const stream = allanStream({ rate: 1 });
    expect(stream.points()).toEqual([]);
    for (let i = 0; i < 1000; i += 7) {
      stream.add(codes.subarray(i, Math.min(1000, i + 7)));
      stream.points();
    }
    const expected = allanDeviation({ values: codes.subarray(0, 1000), rate: 1, kind: 'overlapping' });
    expect(stream.points().map(({ stride, ...point }) => point)).toEqual(expected);
  });
});

describe('errors', () => {
  it('a factor that leaves no term', () => {
    expect(() => allanDeviation({ values: nine, rate: 1, kind: 'overlapping', factors: [5] })).toThrow(
      'allanDeviation.factors: got 5; allowed 1 … 4 for 9 values, overlapping',
    );
    expect(() => allanDeviation({ values: nine, rate: 1, kind: 'modified', factors: [4] })).toThrow(
      'allanDeviation.factors: got 4; allowed 1 … 3 for 9 values, modified',
    );
  });

  it('arguments', () => {
    const good = { values: nine, rate: 1, kind: 'overlapping' as const };
    expect(() => allanDeviation({ ...good, values: [1] })).toThrow(
      'allanDeviation.values: got an array of 1',
    );
    expect(() => allanDeviation({ ...good, rate: 0 })).toThrow('allanDeviation.rate: got 0');
    expect(() => allanDeviation({ ...good, kind: 'total' as AllanKind })).toThrow(
      'allanDeviation.kind: got "total"',
    );
    expect(() => allanDeviation({ ...good, factors: [0] })).toThrow('allanDeviation.factors');
    expect(() => allanStream({ rate: -1 })).toThrow('allanStream.rate: got -1');
  });
});

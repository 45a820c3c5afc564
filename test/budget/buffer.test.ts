import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { scanBuffer } from '../../src/budget/buffer.ts';
import { expectPrinted } from '../close.ts';

describe('common practice, no source: two halves of 128 samples at 10 kSPS, N/f_s', () => {
  const b = scanBuffer({ channels: 1, scans: 128, scanPeriod: 1e-4, resultInterval: 1e-4, bytes: 2 });
  it('an interrupt every 12.8 ms, the oldest sample 12.8 ms old', () => {
    expectPrinted(b.halfTime, '0.0128', 'half');
    expectPrinted(b.oldest, '0.0128', 'oldest');
    expect(b.length).toBe(256);
    expect(b.bytes).toBe(512);
  });
});

/** The hardware, event by event: which result is written when and where, and what each interrupt may wait. */
function simulated(a: {
  channels: number;
  scans: number;
  scanPeriod: number;
  resultInterval: number;
  toFirst: number;
}) {
  const half = a.scans * a.channels;
  const rounds = 6;
  const writes: { at: number; index: number; scan: number }[] = [];
  for (let scan = 0; writes.length < rounds * 2 * half; scan++) {
    for (let c = 0; c < a.channels; c++) {
      const at = scan * a.scanPeriod + a.toFirst + c * a.resultInterval;
      writes.push({ at, index: writes.length % (2 * half), scan });
    }
  }
  const interrupts = writes.flatMap((w, i) => ((i + 1) % half === 0 ? [{ at: w.at, i }] : []));
  const waits = interrupts.slice(0, -3).map(({ at, i }) => {
    const first = writes[i - half + 1]!;
    const over = writes.find((w, k) => k > i && w.index === first.index)!;
    return { latency: over.at - at, oldest: at - first.scan * a.scanPeriod };
  });
  return {
    rate: (interrupts.length - 1) / (interrupts.at(-1)!.at - interrupts[0]!.at),
    latency: Math.min(...waits.map((w) => w.latency)),
    oldest: Math.max(...waits.map((w) => w.oldest)),
    // A channel always stands in the same place.
    steady: writes.every((w, i) => w.index % a.channels === i % a.channels),
  };
}

describe('against the hardware played event by event', () => {
  it('interrupts, latency to the overrun, age of the oldest', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 1, max: 17 }),
        fc.integer({ min: 1, max: 1000 }),
        fc.integer({ min: 0, max: 5000 }),
        fc.integer({ min: 1, max: 2000 }),
        (channels, scans, interval, pause, first) => {
          const resultInterval = interval * 1e-6;
          const scanPeriod = channels * resultInterval + pause * 1e-6;
          const a = { channels, scans, scanPeriod, resultInterval, toFirst: first * 1e-6 };
          const b = scanBuffer({ ...a, bytes: 2 });
          const s = simulated(a);
          expect(b.length).toBe(2 * scans * channels);
          expect(s.steady).toBe(true);
          // Times of millions of microseconds, summed in doubles.
          expect(b.buffered.rate / s.rate).toBeCloseTo(1, 9);
          expect(b.buffered.latency / s.latency).toBeCloseTo(1, 9);
          expect(b.oldest / s.oldest).toBeCloseTo(1, 9);
        },
      ),
      { seed: 7, numRuns: 60 },
    );
  });

  it('core time is that of its interrupts and results, counted over an hour', () => {
    const a = { channels: 3, scans: 5, scanPeriod: 0.01, resultInterval: 1e-3, bytes: 4 as const };
    const [interruptTime, resultTime] = [20e-6, 3e-6];
    const { buffered, each } = scanBuffer({ ...a, interruptTime, resultTime });
    const results = (3600 / a.scanPeriod) * a.channels;
    expect(buffered.share * 3600).toBeCloseTo((results / 15) * interruptTime + results * resultTime, 6);
    expect(each.share * 3600).toBeCloseTo(results * (interruptTime + resultTime), 6);
    expect(each.busyShare).toBeCloseTo(0.023, 12);
    expect(each.rate).toBeCloseTo(300, 9);
  });
});

describe('the declaration', () => {
  const folder = mkdtempSync(join(tmpdir(), 'halfbit-buffer-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it.each([
    [1, 1, 1],
    [3, 64, 2],
    [20, 7, 4],
  ] as const)('%i channels, %i scans, %i bytes: C gives it the same size', (channels, scans, bytes) => {
    const b = scanBuffer({ channels, scans, scanPeriod: 1, resultInterval: 1e-3, bytes, name: 'my_buffer' });
    const file = join(folder, 'b.c');
    const check = `_Static_assert(sizeof my_buffer == ${b.bytes} && sizeof my_buffer / sizeof my_buffer[0][0][0] == ${b.length}, "size");`;
    writeFileSync(
      file,
      `#include <stdint.h>\n${b.declaration}\n${check}\nint main(void) { return my_buffer[0][0][0]; }\n`,
    );
    const { status, stderr } = spawnSync(
      'cc',
      ['-std=c11', '-Wall', '-Wextra', '-Werror', '-o', join(folder, 'b'), file],
      { encoding: 'utf8' },
    );
    expect(stderr).toBe('');
    expect(status).toBe(0);
  });
});

describe('errors', () => {
  const good = { channels: 3, scans: 4, scanPeriod: 1e-3, resultInterval: 1e-4, bytes: 2 as const };
  it.each([
    [{ channels: 0 }, 'scanBuffer.channels: got 0; allowed whole numbers 1 … 4096'],
    [{ scans: 1.5 }, 'scanBuffer.scans: got 1.5'],
    [
      { scanPeriod: 2.9e-4 },
      'scanBuffer.scanPeriod: got 0.00029; allowed from 0.0003 s, the results of one scan',
    ],
    [{ bytes: 3 }, 'scanBuffer.bytes: got 3; allowed 1 or 2 or 4'],
    [{ name: '2much' }, 'scanBuffer.name: got "2much"; allowed a C identifier'],
    [{ interruptTime: -1 }, 'scanBuffer.interruptTime: got -1'],
  ])('%j', (bad, message) => {
    expect(() => scanBuffer({ ...good, ...bad } as typeof good)).toThrow(message);
  });
  it('exactly fitting results are no error', () => {
    expect(() => scanBuffer({ ...good, scanPeriod: 3 * 1e-4 })).not.toThrow();
  });
});

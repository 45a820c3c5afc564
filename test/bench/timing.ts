/** Timing: medians, and peers in other programs where those are installed. */
import { spawnSync } from 'node:child_process';
import { performance } from 'node:perf_hooks';

/** Seconds of one call, the median of several, after warming up. */
export function seconds(run: () => unknown, { repeats = 15, warm = 3 } = {}): number {
  for (let i = 0; i < warm; i++) run();
  const times = Array.from({ length: repeats }, () => {
    const start = performance.now();
    run();
    return performance.now() - start;
  });
  return median(times) / 1000;
}

export const median = (values: readonly number[]): number => quantile(values, 0.5);

export const quantile = (values: readonly number[], p: number): number =>
  [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(p * values.length))]!;

/** A time in print. */
export function shown(time: number): string {
  const [value, unit] =
    time < 1e-6
      ? [time * 1e9, 'ns']
      : time < 1e-3
        ? [time * 1e6, 'µs']
        : time < 1
          ? [time * 1e3, 'ms']
          : [time, 's'];
  return `${Number(value.toPrecision(3))} ${unit}`;
}

/** What a Python script with NumPy prints as a number; undefined where Python, NumPy or SciPy is missing. */
export function python(script: string): number | undefined {
  for (const program of ['/usr/bin/python3', 'python3']) {
    const { status, stdout } = spawnSync(program, ['-c', script], { encoding: 'utf8' });
    if (status === 0) return Number(stdout.trim());
  }
  return undefined;
}

/** Ratio and peer of a row, or that there is none here. */
export const against = (
  time: number,
  peer: number | undefined,
  name: string,
): { ratio: string; peer: string } =>
  peer === undefined
    ? { ratio: '–', peer: `${name}: not installed here` }
    : { ratio: String(Number((time / peer).toPrecision(2))), peer: `${name}, ${shown(peer)}` };

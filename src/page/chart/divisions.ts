/** Divisions: the lines of the graph paper under a chart, those that carry numbers and those between them. */
import { ticks as roundTicks } from 'd3-array';
import type { Axis } from '../blocks.ts';

/** Values of the 1-2-5 series within a logarithmic axis. */
function decadeTicks(from: number, to: number): number[] {
  const out: number[] = [];
  for (let e = Math.floor(Math.log10(from)); e <= Math.log10(to); e++) {
    for (const m of [1, 2, 5]) {
      const v = Number(`${m}e${e}`);
      if (v >= from * (1 - 1e-9) && v <= to * (1 + 1e-9)) out.push(v);
    }
  }
  return out;
}

/** The lines that carry numbers, and the lines between them. */
export function divisions(axis: Axis, width: number): { major: readonly number[]; minor: readonly number[] } {
  if (axis.scale === 'log') {
    const major = axis.ticks ?? decadeTicks(axis.from, axis.to);
    const minor: number[] = [];
    if (!axis.ticks) {
      for (let e = Math.floor(Math.log10(axis.from)); e <= Math.log10(axis.to); e++) {
        for (let m = 1; m <= 9; m++) {
          const v = Number(`${m}e${e}`);
          if (v > axis.from && v < axis.to) minor.push(v);
        }
      }
    }
    return { major, minor };
  }
  const major = axis.ticks ?? roundTicks(axis.from, axis.to, width < 400 ? 5 : 7);
  const step = major.length > 1 ? major[1]! - major[0]! : axis.to - axis.from;
  const parts = width < 400 ? 2 : 5;
  const minor: number[] = [];
  const first = Math.ceil((axis.from - major[0]!) / (step / parts) - 1e-9);
  const last = Math.floor((axis.to - major[0]!) / (step / parts) + 1e-9);
  for (let i = first; i <= last; i++) if (i % parts !== 0) minor.push(major[0]! + (i * step) / parts);
  return { major, minor };
}

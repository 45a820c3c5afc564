/** How the converter is run: single, continuous, timed; and how near the timer comes to what is asked of it. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import { type Operation, operationsOf } from '../../worksheet/operationsOf.ts';
import { triggerOf } from '../../worksheet/triggerOf.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Section, symbol } from '../blocks.ts';
import type { Told } from './told.ts';

const names: Readonly<Record<Operation['is'], string>> = {
  single: 'single: the core starts each burst',
  continuous: 'continuous: burst after burst',
  'timed conversions': 'a timer starts each conversion',
  'timed readings': 'a timer starts each reading',
};

const hertz = (value: number | 'any'): string =>
  value === 'any' ? '–' : formatQuantity({ value, unit: 'Hz' });

/** The ways to run the converter at the chosen ratio. */
export function operation({ e, time }: Told): Section[] {
  const ways = operationsOf(e);
  const present = ways.find((w) => w.present)!;
  const { ratio } = e.averaging;
  const zero = (seconds: number): string => (seconds === 0 ? '0' : time(seconds));
  return [
    {
      body: [
        b.table({
          name: 'operation',
          claim: `A result is ready ${time(present.ready)} after its start, and tells of ${time(present.age)} ago.`,
          text:
            ratio === 1
              ? prose`One conversion follows its input up to half the rate of conversions.`
              : prose`Averaging ${String(ratio)} drops a signal of ${hertz(present.signalBand)} by 3 dB; at ${hertz(present.halfRate)}, half the rate of results one after the other, it leaves ${formatNumber({ value: 100 * present.atHalfRate, digits: 2 })}\u202f%. Start-ups count ahead of the first result only.`,
          columns: [
            { head: 'operation', words: true },
            { head: 'delay between', unit: 'conversions', minor: true },
            { head: 'a result', unit: 'every' },
            { head: 'first', unit: 'result after' },
            { head: 'it tells', unit: 'of, ago', minor: true },
            { head: '−3 dB', unit: 'at' },
          ],
          rows: ways.map((w) => ({
            cells: [
              names[w.is],
              ratio === 1 ? '–' : zero(w.delay),
              time(w.every),
              time(w.ready),
              time(w.age),
              hertz(w.signalBand),
            ],
            ...(w.present && { standing: 'chosen' as const }),
          })),
        }),
      ],
    },
  ];
}

const count = (value: number): string => formatNumber({ value, digits: 12 });
const hertz6 = (value: number): string => formatQuantity({ value, unit: 'Hz', digits: 6 });

const settingNames = {
  'one less': 'one less',
  nearest: 'nearest',
  'one more': 'what it gives if the “+ 1” is forgotten',
} as const;

/** The timer: which count to write, and how far the rate is off. */
export function trigger({ e, time }: Told): Section[] {
  const t = triggerOf(e);
  const { nearest, every } = t;
  const error = (ppm: number): string => formatNumber({ value: Math.abs(ppm) < 5e-4 ? 0 : ppm, digits: 3 });
  const hasTimer = e.worksheet.profile.timer !== undefined;
  const clock = hasTimer
    ? prose`${entry('converter.timer.clock')}`
    : prose`${formatQuantity({ value: t.clock, unit: 'Hz' })}`;
  const perDay = Math.abs(nearest.errorPpm) * 0.0864;
  const drift =
    perDay < 0.001 ? '' : ` It drifts ${formatQuantity({ value: perDay, unit: 's', digits: 2 })} a day.`;
  const each =
    t.starts === 'conversion'
      ? prose`each conversion, every ${entry('sampling.interval')}`
      : prose`each reading, every ${entry('requirement.period')}`;
  const off = error(nearest.errorPpm);
  const apart = t.settings.find((s) => s.is !== 'nearest');
  const next = apart ? Math.abs(apart.errorPpm - nearest.errorPpm) : 0;
  const timer: Section = {
    claim:
      every === 1
        ? `The timer counts to ${count(nearest.count)}${off === '0' ? ', which is exact' : `, ${off}\u202fppm off`}.`
        : `The timer cannot wait ${time(1 / t.wanted)}: let it run ${count(every)} times for one start.`,
    body: [
      paragraph(
        prose`A timer of ${String(t.counterBits)} bits at ${clock} starts ${each}; it can wait ${time(t.longest)} at most. Its rate is that of the clock over prescaler × (count + 1); a count written one too high is the usual slip.${drift}`,
      ),
    ],
    margin: [
      b.working({
        result: hertz6(nearest.rate),
        steps: [
          { formula: 'f = f_clk/(p (n + 1))' },
          {
            formula: 'f = f_clk/(p (n + 1))',
            with: {
              f: hertz6(nearest.rate),
              f_clk: hertz6(t.clock),
              p: String(nearest.prescaler),
              n: count(nearest.count),
            },
          },
          prose`A burst of ${symbol('R')} conversions takes ${symbol('R')} − 1 intervals and one conversion, ${time(e.averaging.burstTime)}.`,
        ],
        source: 'Common practice, no source.',
      }),
      paragraph(prose`The clock’s own tolerance comes on top.`),
    ],
  };
  const neighbours = b.table({
    name: 'trigger',
    claim: `One count more or less is ${error(next)}\u202fppm.`,
    columns: [
      { head: 'prescaler' },
      { head: 'count' },
      { head: 'rate', unit: 'Hz', minor: true },
      { head: 'error', unit: 'ppm' },
      { head: 'setting', words: true },
    ],
    rows: t.settings.map((s) => ({
      cells: [
        count(s.prescaler),
        count(s.count),
        formatNumber({ value: s.rate, digits: 7 }),
        error(s.errorPpm),
        settingNames[s.is],
      ],
      ...(s.is === 'nearest' && { standing: 'recommended' as const }),
    })),
  });
  return [timer, { body: [neighbours] }];
}

/** Mains: what the burst leaves of 50 and 60 Hz with the tolerances, and which window nulls them. */
import { asciiQuantity, formatNumber } from '../../numbers/format.ts';
import type { HumWindow, Tolerance } from '../../worksheet/humOf.ts';
import type { WorksheetResponse } from '../../worksheet/responseOf.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Row, type Section } from '../blocks.ts';
import { percent } from './chargePhases.ts';
import { gainText, hertz, partText } from './frequencyResponse.ts';
import { number, type Told } from './told.ts';

/** The changes that take a window. */
export const windowChanges = ({ interval, ratio }: HumWindow): Record<string, string> => ({
  'sampling.trigger': 'conversion',
  'sampling.interval': asciiQuantity({ value: Number(interval.toPrecision(9)), unit: 's' }),
  'averaging.ratio': String(ratio),
});

/** A window in words. */
export const windowWords = ({ time }: Told, w: HumWindow): string =>
  `${w.ratio} conversions, one every ${time(w.interval)}`;

const off = ({ value, given }: Tolerance): string => `${percent(value)}${given ? '' : ', assumed'}`;

/** What is left of the mains. */
function rejection(t: Told, { hum, window }: WorksheetResponse): Section {
  const { time, e } = t;
  const fifty = hum.rows[0]!;
  const { profile, inputs } = e.worksheet;
  const byTimer = inputs.sampling.interval && profile.timer?.tolerance;
  const clock = `converter.${byTimer ? 'timer' : 'clock'}.tolerance`;
  const nothing = hum.rows.every((r) => r.both.gain > 0.9);
  return {
    body: [
      b.table({
        name: 'hum',
        claim: nothing
          ? `A window of ${time(window)} rejects no hum.`
          : `The window of ${time(window)} leaves ${partText(fifty.both.gain)} of 50\u202fHz, ${partText(hum.rows[1]!.both.gain)} of 60\u202fHz.`,
        text: prose`A window nulls what has whole periods in it; how deep depends on how exact mains and clock are. Mains off by ${off(fifty.tolerance)}, the clock by ${hum.clockTolerance.given ? entry(clock) : `${percent(hum.clockTolerance.value)}, assumed`}.`,
        columns: [
          { head: 'mains', words: true },
          { head: 'both exact' },
          { head: 'mains off', minor: true },
          { head: 'clock off', minor: true },
          { head: 'both off' },
          { head: 'left', unit: 'at most' },
        ],
        rows: hum.rows.map((r) => ({
          cells: [
            hertz(r.frequency),
            ...[r.exact, r.mainsOff, r.clockOff, r.both].map((h) => gainText(h.gain)),
            partText(r.both.gain),
          ],
        })),
      }),
    ],
  };
}

/** The windows that the timer can make. */
function windows(t: Told, { hum }: WorksheetResponse): Section {
  const { time, e } = t;
  const { best } = hum;
  const serving = (w: HumWindow): boolean => w.fails === undefined;
  const row = (w: HumWindow, i: number): Row => ({
    cells: [
      w.nulls.map((f) => `${f}`).join(', '),
      String(w.ratio),
      time(w.interval),
      String(w.prescaler),
      formatNumber({ value: w.count, digits: 12 }),
      time(w.window),
      gainText(w.left[0]),
      gainText(w.left[1]),
    ],
    verdicts: [
      w.fails
        ? { mark: 'miss', text: w.fails }
        : w === best
          ? { mark: 'met', text: 'recommended: shortest that serves' }
          : { text: 'fits' },
    ],
    ...(w.fails ? { standing: 'fails' as const } : w === best ? { standing: 'recommended' as const } : {}),
    group: hum.windows[i - 1]?.nulls !== w.nulls,
    ...(w.fails !== 'conversions too long for it' && {
      choose: { label: windowWords(t, w), changes: windowChanges(w) },
    }),
  });
  // Of each window the present ratio, and the largest that serves.
  const shown = hum.windows.flatMap((w, i) => {
    const group = hum.windows.filter((o) => o.nulls === w.nulls);
    const kept = [
      best,
      group.find((o) => o.ratio === e.averaging.ratio),
      group.findLast(serving) ?? group.at(-1),
    ];
    return kept.includes(w) ? [i] : [];
  });
  return {
    body: [
      b.table({
        name: 'windows',
        claim: best
          ? `${best.ratio} conversions ${time(best.interval)} apart null ${best.nulls.join(' and ')}\u202fHz: ${partText(Math.max(...best.nulls.map((f) => best.left[f === 50 ? 0 : 1]!)))} is left at most.`
          : 'No window of this converter nulls the mains and keeps the requirements.',
        text: prose`A period of 50\u202fHz is 20\u202fms, of 60\u202fHz 16.7\u202fms; 100\u202fms hold whole periods of both. The timer starts each conversion; what is left counts the tolerances. Choose a row to work with it.`,
        columns: [
          { head: 'nulls', unit: 'Hz' },
          { head: 'ratio' },
          { head: 'every' },
          { head: 'prescaler', minor: true },
          { head: 'count', minor: true },
          { head: 'window', minor: true },
          { head: '50\u202fHz' },
          { head: '60\u202fHz' },
        ],
        rows: hum.windows.map(row),
        shown,
      }),
    ],
    margin: [],
  };
}

/** Both tables, and what they rest on. */
export function hum(t: Told, r: WorksheetResponse): Section[] {
  const best = r.hum.best;
  const charge = best
    ? prose` A longer window costs charge: see ${b.toPage('charge-and-battery', 'Charge and battery')}.`
    : '';
  return [
    rejection(t, r),
    windows(t, r),
    {
      claim: 'What a null is worth',
      body: [
        paragraph(
          prose`With mains or clock off by a part ${b.symbol('δ')}, a null leaves about that part: 1\u202f% leaves −40\u202fdB, 2\u202f% −34\u202fdB. More than that only a longer window or a shorter tolerance brings, or a low-pass far below the mains. A burst that is over in a fraction of a period rejects nothing, however many conversions it holds.${charge}`,
        ),
      ],
      margin: [
        b.working({
          result: `${number(100 * r.hum.clockTolerance.value, 2)}\u202f% of clock`,
          steps: [
            prose`Near a null, ${b.symbol('δ')} off:`,
            { formula: '|H| ≈ |sin(π m δ)|/(π m) ≈ δ' },
            prose`${b.symbol('m')} the periods in the window.`,
          ],
          source: 'Own derivation; the table takes the exact largest over the band.',
        }),
      ],
    },
  ];
}

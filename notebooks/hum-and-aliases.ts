/**
 * Which hum and which aliases get through?
 *
 * The mean of a burst and the low-pass at the pin, over frequency; what they leave of the disturbances that the worksheet names,
 * and of the mains with its tolerances; the window that nulls the mains; how soon a reading follows; and which filter still settles.
 */
import * as b from '../src/page/blocks.ts';
import { action, met, onScreen, type Prose, prose, type Section, strong } from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { antiAlias } from '../src/page/sections/antiAlias.ts';
import { disturbances } from '../src/page/sections/disturbances.ts';
import {
  frequencyResponse,
  gainText,
  hertz,
  mostText,
  partText,
} from '../src/page/sections/frequencyResponse.ts';
import { hum, windowChanges, windowWords } from '../src/page/sections/hum.ts';
import { assumedWords, cautionSentences, missedSentence } from '../src/page/sections/sentences.ts';
import { stepResponse } from '../src/page/sections/stepResponse.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { responseOf, type WorksheetResponse } from '../src/worksheet/responseOf.ts';

function answer({ e, difference, time }: Told, r: WorksheetResponse): Prose {
  const { resolution } = e.worksheet.inputs.requirement;
  const worst = r.aliases.reduce<WorksheetResponse['aliases'][number] | undefined>(
    (a, d) => (a === undefined || d.rms > a.rms ? d : a),
    undefined,
  );
  if (worst) {
    const allowed = resolution
      ? `, where ${difference(resolution.value)} are wanted for everything together`
      : '';
    return prose`${strong(`Of ${worst.name} at ${hertz(worst.frequency)} ${mostText(worst.mostGain)} may get through:`)} ${difference(worst.rms)} rms in a reading${allowed}.`;
  }
  const [fifty, sixty] = r.hum.rows;
  if (fifty!.both.gain > 0.9 && sixty!.both.gain > 0.9)
    return prose`${strong('Mains hum gets through whole:')} the window of ${time(r.window)} is a small part of its period; aliases of ${hertz(1 / e.sampling.interval)} and its multiples pass too.`;
  return prose`${strong(`Of 50\u202fHz ${partText(fifty!.both.gain)} gets through, of 60\u202fHz ${partText(sixty!.both.gain)}:`)} aliases of ${hertz(1 / e.sampling.interval)} and its multiples pass the mean whole.`;
}

/** What would take the mains out. */
function also(t: Told, r: WorksheetResponse): Prose {
  const { e } = t;
  const { best, rows } = r.hum;
  const missedWords = missedSentence(e);
  if (best === undefined)
    return prose`No window of this converter nulls the mains within the period and the latency asked for. ${missedWords}`;
  const of = (w: { readonly left: readonly [number, number] }, f: number): number => w.left[f === 50 ? 0 : 1];
  const left = Math.max(...best.nulls.map((f) => of(best, f)));
  const present = Math.max(...rows.filter((h) => best.nulls.includes(h.frequency)).map((h) => h.both.gain));
  if (present <= 1.05 * left)
    return prose`${met('The window nulls the mains')} as far as its tolerance and the clock’s allow: ${gainText(present)}. ${missedWords}`;
  const take = onScreen(prose` (${action('take it', windowChanges(best))})`);
  return prose`${windowWords(t, best)}, would leave ${partText(left)} of ${best.nulls.join(' and ')}\u202fHz at most${take}. ${missedWords}`;
}

function misleads({ e }: Told, r: WorksheetResponse): Section {
  return {
    body: [
      b.notes('When this misleads', [
        prose`Amplitudes are those at the pin as it is. Another filter ahead of it changes them; measure again.`,
        prose`Hum that comes in through ground or reference does not pass the pin, and no filter there sees it; a ratiometric chain cancels only what sensor and reference share.`,
        prose`Mains carries harmonics; a window that holds whole periods nulls those too, but for multiples of the rate of conversions.`,
        prose`An interval that jitters, because code and not a timer starts the conversions, blunts every null.`,
        ...(r.aliases.some((a) => a.mostGain > 2 * a.gain)
          ? [
              prose`Close to a multiple of the rate of conversions a few per cent of frequency decide between all and little; the reading counts the most that the tolerances allow.`,
            ]
          : []),
      ]),
    ],
    margin: e.assumed.length > 0 ? [b.paragraph(prose`Still assumed: ${assumedWords(e)}.`)] : [],
  };
}

export default page({
  place: 8,
  short: 'Hum and aliases',
  question: 'Which hum and which aliases get through?',
  content(e) {
    const t = told(e);
    const r = responseOf(e);
    return {
      answer: answer(t, r),
      also: also(t, r),
      sections: [
        frequencyResponse(t, r),
        ...disturbances(t, r),
        ...hum(t, r),
        stepResponse(t, r),
        antiAlias(t, r),
        misleads(t, r),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

/**
 * How do several channels share the converter?
 *
 * Each channel takes its turn with its own sample time; the sampling capacitor carries something of each into the next. When every
 * channel is converted, what it receives from the others, which order is best, and the buffer that the hardware fills meanwhile.
 */
import * as b from '../src/page/blocks.ts';
import {
  action,
  met,
  missed,
  onScreen,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { scanBuffer } from '../src/page/sections/scanBuffer.ts';
import { scanCrosstalk } from '../src/page/sections/scanCrosstalk.ts';
import { scanMatrix } from '../src/page/sections/scanMatrix.ts';
import { scanChannels, scanTurns } from '../src/page/sections/scanTurns.ts';
import { assumedWords, cautionSentences, missedSentence } from '../src/page/sections/sentences.ts';
import { lsb } from '../src/page/sections/settling.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { bufferOf, type WorksheetBuffer } from '../src/worksheet/bufferOf.ts';
import { type ScanError, type ScanResult, scanOf } from '../src/worksheet/scanOf.ts';
import { scanSettlingOf } from '../src/worksheet/scanSettlingOf.ts';
import { type ScanTimes, scanTimesOf } from '../src/worksheet/scanTimesOf.ts';

const largest = (errors: readonly ScanError[]): number => Math.max(...errors.map((c) => Math.abs(c.lsb)));

/** What is wrong with the scan. */
function faults(
  { e, time }: Told,
  times: ScanTimes,
  settling: readonly ScanError[],
  buffer: WorksheetBuffer | 'none',
): string[] {
  const latency = e.worksheet.inputs.requirement.latency?.value ?? Number.MAX_VALUE;
  const allowed = e.sampling.allowedErrorLsb;
  const short = times.visits.filter((v) => v.short).map((v) => v.name);
  const off = largest(settling);
  return [
    ...(times.fits
      ? []
      : [`it takes ${time(times.leastPeriod)} and has to start again after ${time(times.period)}`]),
    ...(short.length > 0
      ? [`${short.join(' and ')} ${short.length > 1 ? 'are' : 'is'} sampled too short`]
      : []),
    ...(off > allowed ? [`a result is ${lsb(off)} from settled, ${lsb(allowed)} are allowed`] : []),
    ...(buffer !== 'none' && buffer.oldest > latency
      ? [`in the buffer a result gets ${time(buffer.oldest)} old, ${time(latency)} are allowed`]
      : []),
  ];
}

function answer(
  t: Told,
  times: ScanTimes,
  settling: readonly ScanError[],
  buffer: WorksheetBuffer | 'none',
): Prose {
  const { time } = t;
  const wrong = faults(t, times, settling, buffer);
  const count = times.visits.length;
  const every = `every ${time(times.period)}`;
  if (wrong.length > 0)
    return prose`${missed('')}${strong(count === 1 ? 'As it is, this does not serve:' : `${count} channels do not share it well:`)} ${wrong.join('; ')}.`;
  if (count === 1)
    return prose`${met('')}${strong('One channel shares it with nobody:')} a result ${time(times.readingTime)} after the start, ${every}.`;
  return prose`${met('')}${strong(`${count} channels in ${time(times.readingTime)}, ${every}:`)} each settles to ${lsb(largest(settling), 2)} or better.`;
}

function also(t: Told, scan: ScanResult | undefined, buffer: WorksheetBuffer | 'none'): Prose {
  const better =
    scan && largest(scan.best) < 0.95 * largest(scan.asListed)
      ? prose`In the order ${scan.best.map((c) => c.name).join(', ')} it would be ${lsb(largest(scan.best), 2)}. `
      : [];
  const stored =
    buffer === 'none' || buffer.length === 2
      ? []
      : prose`A buffer of ${String(buffer.length)} asks for the core every ${t.time(1 / buffer.buffered.rate)}, without it every ${t.time(1 / buffer.each.rate)}. `;
  return prose`${better}${stored}${missedSentence(t.e)}`;
}

/** What the crosstalk is, or why there is none. */
function crosstalk({ e }: Told, times: ScanTimes, scan: ScanResult | undefined): Section[] {
  if (scan) {
    const judged = times.turn === 'conversion' || e.averaging.ratio === 1;
    return [scanMatrix(scan, judged ? e.sampling.allowedErrorLsb : undefined), scanCrosstalk(scan)];
  }
  if (times.visits.length === 1) return [];
  return [
    {
      claim: 'No channel leaves anything in the next.',
      body: [
        paragraph(
          prose`This converter puts its sampling capacitor to ${b.entry('converter.previousVoltage')} before every conversion: any order is as good as another, and a conversion left out gains nothing. What each fails to settle from there is in the table above.`,
        ),
      ],
    },
  ];
}

/** Channels to try, ready to be changed. */
function further({ e }: Told, times: ScanTimes): Section {
  const { profile, inputs } = e.worksheet;
  const at = times.visits.length - 1;
  const clock = e.sampling.clock;
  const long = profile.sampleCycles.find((c) => c / clock >= 10e-6) ?? profile.sampleCycles.at(-1)!;
  const channel = (values: Readonly<Record<string, string>>): Record<string, string> =>
    Object.fromEntries(Object.entries(values).map(([key, text]) => [`scan.channels.${at}.${key}`, text]));
  const battery = channel({ name: 'battery voltage', voltage: '1.4 V', sourceResistance: '100 kohm' });
  const chip = channel({
    name: 'chip temperature',
    voltage: '0.7 V',
    sourceResistance: '10 kohm',
    sampleCycles: String(long),
    leastSampleTime: '10 us',
    input: 'internal',
  });
  return {
    body: [
      b.notes('Further channels', [
        prose`In the worksheet they stand under scan.channels, each with name, voltage at the pin and source resistance, and where it has them a capacitor and sample cycles of its own; up to ${String(profile.channels)} inputs of this profile, and those on the chip.`,
        prose`${onScreen(prose`Try one, with figures to change: ${action('a battery voltage behind 100\u202fkΩ', battery)}, ${action('the temperature of the chip', chip)}.`)}`,
        ...(inputs.scan?.discard || at === 0
          ? []
          : [
              prose`Leaving out the first conversion after each change costs its time in every turn; whether it pays is in the table of the scan.`,
            ]),
      ]),
    ],
  };
}

const misleads = ({ e }: Told): Section => ({
  body: [
    b.notes('When this misleads', [
      prose`The other channels stand at one voltage each. Look again at the ends of theirs, and with the unpowered ones at 0\u202fV.`,
      prose`Storing takes bus cycles from the core, a few for each result; they are not counted.`,
      prose`A length that is no multiple of the channels lets them wander through the buffer, one place further each time round; here it is always a multiple.`,
      prose`After an overrun the order in memory is no longer that of the channels: stop, clear and start again.`,
    ]),
  ],
  margin: e.assumed.length > 0 ? [paragraph(prose`Still assumed: ${assumedWords(e)}.`)] : [],
});

export default page({
  place: 9,
  short: 'Scan and buffer',
  question: 'How do several channels share the converter?',
  content(e) {
    const t = told(e);
    const times = scanTimesOf(e);
    const scan = scanOf(e);
    const settling = scanSettlingOf(e, times);
    const buffer = bufferOf(e, times);
    return {
      answer: answer(t, times, settling, buffer),
      also: also(t, scan, buffer),
      sections: [
        scanChannels(t, times),
        ...scanTurns(t, times, settling),
        ...crosstalk(t, times, scan),
        ...(buffer === 'none' ? [] : scanBuffer(t, times, buffer)),
        further(t, times),
        misleads(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

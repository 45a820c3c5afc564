/** Limits to watchdog codes. */
import { asciiQuantity } from '../../numbers/format.ts';
import { missedSentence } from '../../page/sections/sentences.ts';
import {
  alarmsWords,
  comparedWords,
  limitWords,
  looseWords,
  placeWords,
} from '../../page/sections/watchdogWords.ts';
import { columns, proseWords, wrap } from '../../page/text/lines.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { type FalseTrips, falseTripsOf } from '../../worksheet/falseTripsOf.ts';
import { type FaultCodes, faultCodesOf } from '../../worksheet/faultCodesOf.ts';
import { type Forms, formsOf } from '../../worksheet/formsOf.ts';
import { lineReader } from '../../worksheet/formText.ts';
import {
  type Limit,
  type Side,
  type Threshold,
  type Watchdog,
  type WatchdogQuestion,
  watchdogOf,
  watchdogQuestion,
} from '../../worksheet/watchdogOf.ts';
import { type WatchdogSetting, watchdogSettingsOf } from '../../worksheet/watchdogSettingsOf.ts';
import { type Command, define, json, sessionOn, set, verdict } from '../command.ts';
import { InputError } from '../files.ts';
import { jsonText } from '../json.ts';

const intents = ['must-trip', 'must-not-trip'] as const;

/** The limits of the options, else of the worksheet. */
function questionFrom(
  e: Evaluation,
  forms: Forms,
  values: Readonly<Record<string, unknown>>,
): WatchdogQuestion {
  const own = watchdogQuestion(e, forms);
  const intent = (values.intent ?? own?.intent ?? 'must-trip') as WatchdogQuestion['intent'];
  if (!intents.includes(intent)) {
    throw new InputError(`--intent: got ${JSON.stringify(intent)}; allowed ${intents.join(', ')}`);
  }
  const read = lineReader(forms, values.pin === true);
  const given = (['above', 'below'] as const).flatMap((side) => {
    const text = values[side] as string | undefined;
    if (text === undefined) return [];
    const told = limitIn(text, read, side);
    if (told.form.is === 'code')
      throw new InputError(`--${side}: ${JSON.stringify(text)} has no unit; write it as 37 degC or 1.2 V`);
    return [{ side, ...told }];
  });
  const limits = given.length > 0 ? given : own?.limits;
  if (limits === undefined) {
    throw new InputError('the worksheet has no watchdog; give a limit by --above or --below');
  }
  return { limits, intent };
}

/** A limit as text, told by its option where it is none. */
function limitIn(text: string, read: ReturnType<typeof lineReader>, side: Side) {
  try {
    return read(text);
  } catch (error) {
    throw new InputError(`--${side}: ${(error as Error).message}`);
  }
}

/** All that the command tells. */
interface Found {
  readonly watchdog: Watchdog;
  readonly trips: readonly FalseTrips[];
  readonly settings: readonly WatchdogSetting[];
  readonly faults: FaultCodes;
}

function codesText(e: Evaluation, { watchdog, trips, settings, faults }: Found): string {
  const { compare, thresholds, intent, swapped } = watchdog;
  const { value, equality } = comparedWords(e, watchdog);
  const difference = (d: number): string => placeDifference(e, d);
  const limits = watchdog.limits.map((l) => limitWords(l)).join(' and ');
  const head = `${intent === 'must-trip' ? 'Every converter trips' : 'No converter trips but'} ${limits}${
    swapped
      ? '; the curve falls, so the upper limit is kept by the low threshold, the lower by the high one'
      : ''
  }. Compared: ${value}, in ${compare.bits} bits; ${equality}.`;
  const table = [
    ['threshold', 'decimal', 'hex', 'first trips', 'half trip', 'every one trips'],
    ...thresholds.map((t) => [
      t.register,
      String(t.code),
      t.hex,
      placeWords(e, t.startsAt),
      placeWords(e, t.tripsAt),
      placeWords(e, t.surelyAt),
    ]),
  ];
  const loose = Math.max(...thresholds.map((t) => t.sensorTolerance));
  const noise = thresholds.map((t, i) => noiseWords(t, trips[i]!, difference));
  const result = compare.stage === 'result';
  const others = [
    ['bits', ...(result ? ['ratio', 'shift'] : []), ...thresholds.flatMap((t) => [t.register, 'hex']), ''],
    ...settings.map((s) => [
      String(s.bits),
      ...(result ? [String(s.ratio), String(s.shift)] : []),
      ...thresholds.flatMap(({ register }) => {
        const t = s.thresholds.find((x) => x.register === register);
        return t ? [String(t.code), t.hex] : ['', ''];
      }),
      s.refused ?? (s.chosen ? 'chosen' : ''),
    ]),
  ];
  const broken = faults.ends.map((f) => [
    f.fault,
    `${f.end === 'low' ? '≤' : '≥'} ${f.limitCode}`,
    `range from ${f.rangeCode}, margin ${f.margin}`,
  ]);
  const missed = proseWords(missedSentence(e), () => {
    throw new Error('no input stands in this sentence');
  });
  return [
    ...wrap(head, 80),
    '',
    ...columns(table, [false, true, true, true, true, true], 80),
    '',
    ...(loose > 0
      ? wrap(`${looseWords(e)} may move this by up to ${difference(loose)} either way.`, 80)
      : []),
    ...noise.flatMap((line) => wrap(line, 80)),
    '',
    result ? 'At other settings' : 'At other resolutions; the average is not compared',
    ...columns(others, [...others[0]!.slice(0, -1).map(() => true), false], 80),
    ...(broken.length > 0
      ? ['', 'Broken sensor, result codes', ...columns(broken, [false, true, false], 80)]
      : []),
    ...(missed ? ['', ...wrap(missed, 80)] : []),
    '',
  ].join('\n');
}

/** A difference of the measurand. */
const placeDifference = ({ units }: Evaluation, value: number): string =>
  asciiQuantity({ value: Number(value.toPrecision(3)), unit: units.difference });

/** Noise, false alarms and delay at one threshold. */
function noiseWords(t: Threshold, trips: FalseTrips, difference: (value: number) => string): string {
  const row = trips.rows.find((r) => r.chosen)!;
  const rest = row.atRest === undefined ? '' : ` At the release point: ${alarmsWords(row.atRest)}.`;
  const margin = row.margin === 'any' ? 'any distance' : `${difference(row.margin)} ahead of it`;
  return `${limitWords(t.limit)}: noise ${difference(trips.noise)} rms, ${trips.consecutive} in a row; one false alarm a year ${margin}.${rest} Hysteresis against chatter: ${difference(row.hysteresis)}. Delay up to ${asciiQuantity({ value: Number(row.longestDelay.toPrecision(3)), unit: 's' })}.`;
}

const limitJson = ({ side, value, form, measurand, volts }: Limit) => ({
  side,
  value,
  unit: form.unit,
  in: form.is,
  measurand,
  volts,
});

function codesJson(e: Evaluation, name: string, { watchdog, trips, settings, faults }: Found): string {
  const { limits, thresholds, ...rest } = watchdog;
  const found = {
    worksheet: { name, title: e.worksheet.inputs.title, hash: e.worksheet.hash },
    units: e.units,
    ...rest,
    limits: limits.map(limitJson),
    ...Object.fromEntries(
      thresholds.map(({ register, limit, ...t }, i) => [
        register,
        { ...t, limit: limitJson(limit), falseTrips: trips[i] },
      ]),
    ),
    otherSettings: settings,
    brokenSensor: faults,
  };
  return jsonText(found);
}

const command = define({
  name: 'codes',
  takes: '[WORKSHEET]',
  help: 'limits to watchdog codes: those of the worksheet, or given here in the measurand’s unit, V, ohm or A',
  options: {
    above: { type: 'string', value: 'LIMIT', help: 'trips above this, as "37 degC", "1.2 V" or 4k7' },
    below: {
      type: 'string',
      value: 'LIMIT',
      help: 'trips below this; limits given here replace those of the worksheet',
    },
    intent: {
      type: 'string',
      value: 'INTENT',
      help: 'must-trip (everywhere beyond) or must-not-trip (nowhere within)',
    },
    pin: { type: 'boolean', help: 'volts are at the pin, where the measurand is a voltage too' },
    set,
    json,
  },
  most: 1,
  async run({ values, positionals }) {
    const { file, session } = await sessionOn(positionals[0], values.set as string[] | undefined);
    const e = session.evaluation;
    const watchdog = watchdogOf(e, questionFrom(e, formsOf(e), values))!;
    if (watchdog.refused !== undefined) throw new InputError(watchdog.refused);
    const found: Found = {
      watchdog,
      trips: watchdog.thresholds.map((t) => falseTripsOf(e, watchdog, t)),
      settings: watchdogSettingsOf(e, watchdog),
      faults: faultCodesOf(e),
    };
    process.stdout.write(values.json ? codesJson(e, file.name, found) : codesText(e, found));
    return verdict(e);
  },
});

/** The words with `--above -5` as one, where the value is not taken for an option. */
function joined(words: readonly string[]): string[] {
  const out: string[] = [];
  for (const word of words) {
    const last = out.at(-1);
    if ((last === '--above' || last === '--below') && /^-\.?\d/.test(word))
      out[out.length - 1] = `${last}=${word}`;
    else out.push(word);
  }
  return out;
}

export const codes: Command = { ...command, run: (words) => command.run(joined(words)) };

/** Which two resistors: the pairs of a series that keep under the current allowed, the one that reads nearest, and what else serves. */
import {
  asciiQuantity,
  formatDeciding,
  formatFixed,
  formatNumber,
  formatQuantity,
} from '../../numbers/format.ts';
import {
  dividerPairsOf,
  mostCurrent,
  type PairMiss,
  type PairRow,
  type SettledPair,
  type WorksheetPairs,
} from '../../worksheet/dividerPairsOf.ts';
import type { UncertaintyLine } from '../../worksheet/evaluation.ts';
import { isReference } from '../../worksheet/referenceOf.ts';
import { switchingOf } from '../../worksheet/switchingOf.ts';
import * as b from '../blocks.ts';
import {
  action,
  entry,
  onScreen,
  type Prose,
  paragraph,
  prose,
  type Row,
  type Section,
  toPage,
} from '../blocks.ts';
import { scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });
const amperes = (value: number): string => formatQuantity({ value, unit: 'A' });
const volts = (value: number): string => formatQuantity({ value, unit: 'V' });
/** A year's charge, as batteries are sold. */
const yearly = ({ chargePerYear }: PairRow): string => `${number(chargePerYear / 3.6)}\u202fmAh`;
const pairWords = ({ upper, lower }: PairRow): string => `${ohms(upper)} above and ${ohms(lower)} below`;

/** The changes that take a pair, with the capacitor that settles it where one is wanted. */
const pairChanges = ({ upper, lower }: PairRow, capacitor = 0): Record<string, string> => ({
  'sensor.top': asciiQuantity({ value: upper, unit: 'ohm' }),
  'sensor.bottom': asciiQuantity({ value: lower, unit: 'ohm' }),
  ...(capacitor > 0 && { 'conditioning.capacitor': asciiQuantity({ value: capacitor, unit: 'F' }) }),
});

/** What a pair misses, in words. */
function missWords({ name, actual, required }: PairMiss): string {
  const unit = name === 'current' ? 'A' : 'V';
  const { value, limit } = formatDeciding({ value: actual, limit: required, unit });
  const of = {
    current: `draws more than ${limit}`,
    pin: `the pin gets up to ${value}, ${limit} fit the reference`,
    uncertainty: `more than the ${limit} wanted`,
    step: `steps of ${value}, ${limit} wanted`,
    resolution: `noise of ${value} rms, ${limit} wanted`,
  };
  return of[name];
}

/** The causes of an error, as a reader would mend them. */
type Cause = 'leakage' | 'resistors' | 'reference' | 'converter';

function causeOf({ path }: UncertaintyLine): Cause {
  if (path === 'converter.leakage') return 'leakage';
  if (path.startsWith('sensor.')) return 'resistors';
  return isReference(path) ? 'reference' : 'converter';
}

const causeWords: Readonly<Record<Cause, string>> = {
  leakage: 'leakage',
  resistors: 'the resistors’ tolerance',
  reference: 'the reference',
  converter: 'the converter itself',
};

/** At most how much each cause moves the reading, V; the largest first. */
function causes(row: PairRow): (readonly [Cause, number])[] {
  const sums = new Map<Cause, number>();
  for (const line of row.budget?.lines ?? []) {
    const cause = causeOf(line);
    sums.set(cause, (sums.get(cause) ?? 0) + line.limit);
  }
  return [...sums].sort((x, y) => y[1] - x[1]);
}

function claimOf(t: Told, p: WorksheetPairs): string {
  const { nearest, allowedCurrent } = p;
  if (nearest === undefined)
    return `No two resistors of ${p.series} up to 10\u202fMΩ draw as little as ${amperes(allowedCurrent)}.`;
  if (p.serves)
    return `Under ${amperes(allowedCurrent)}, ${pairWords(nearest)} read nearest: ${t.difference(nearest.budget!.expanded)} in all.`;
  const wanted = nearest.missed[0]!;
  const limit = volts(wanted.required);
  if (wanted.name !== 'uncertainty')
    return `No two resistors under ${amperes(allowedCurrent)} serve: the nearest leave ${missWords(wanted)}.`;
  const [[cause, size]] = causes(nearest) as [readonly [Cause, number]];
  return `No two resistors under ${amperes(allowedCurrent)} keep ${limit}: ${causeWords[cause]} alone may move the nearest by ${t.difference(size)}.`;
}

function verdicts(row: PairRow, { nearest, serves }: WorksheetPairs): NonNullable<Row['verdicts']> {
  const chosen = row.present ? [{ text: 'chosen' }] : [];
  const none = row.sampleCycles === 'none' ? [{ text: 'needs a capacitor' }] : [];
  const same = nearest?.upper === row.upper && nearest.lower === row.lower;
  if (row.missed.length > 0) {
    return [...chosen, ...row.missed.map((m) => ({ mark: 'miss' as const, text: missWords(m) })), ...none];
  }
  if (same && serves)
    return [{ mark: 'met', text: `${row.present ? 'chosen and ' : ''}recommended: reads nearest` }, ...none];
  return row.present ? [{ mark: 'met', text: 'chosen; serves' }, ...none] : [{ text: 'serves' }, ...none];
}

/** What the pairs are asked for, with its inputs. */
function asked({ e, measurand }: Told, { stated, allowedCurrent, series }: WorksheetPairs): Prose {
  const { sensor } = e.worksheet.inputs;
  const high = measurand(e.channel.range.high);
  const current = stated
    ? prose`The two may draw ${entry('sensor.allowedCurrent')} at ${high}.`
    : prose`What the two may draw at ${high}: ${entry('sensor.allowedCurrent')}, so the ${amperes(allowedCurrent)} of the present pair count.`;
  const given = sensor.kind === 'divider' && sensor.series !== undefined;
  return prose`${current} Their series: ${entry('sensor.series')}${given ? '' : `, so ${series}`}.`;
}

/** The table of pairs. */
function pairTable(t: Told, p: WorksheetPairs): b.Table {
  const { rows, nearest } = p;
  const current = scaled(p.allowedCurrent, 'A');
  const error = scaled(Math.max(...rows.map((r) => r.budget?.expanded ?? 0)), 'V');
  const code = scaled(rows[0]!.perCode, 'V');
  const row = (r: PairRow): Row => {
    const figure = (text: string, ...names: PairMiss['name'][]) =>
      r.missed.some((m) => names.includes(m.name)) ? { text, miss: true as const } : text;
    const serves = r.missed.length === 0;
    const best = serves && r.upper === nearest?.upper && r.lower === nearest.lower;
    const standing = r.present ? 'chosen' : best ? 'recommended' : serves ? undefined : 'fails';
    return {
      cells: [
        ohms(r.upper),
        ohms(r.lower),
        ohms(r.theveninResistance),
        figure(number(current.of(r.current)), 'current'),
        number(r.chargePerYear / 3.6),
        String(r.codes[0]),
        figure(String(r.codes[1]), 'pin'),
        figure(number(code.of(r.perCode)), 'step'),
        number(error.of(r.leakage.measurand)),
        r.budget ? figure(number(error.of(r.budget.expanded)), 'uncertainty') : '–',
        r.sampleCycles === 'none' ? '–' : String(r.sampleCycles),
      ],
      verdicts: verdicts(r, p),
      ...(standing && { standing }),
      choose: { label: pairWords(r), changes: pairChanges(r) },
    };
  };
  return b.table({
    name: 'divider-pairs',
    claim: claimOf(t, p),
    text: prose`${asked(t, p)} The pair in use, and the best pairs from there down: less current costs error by leakage. In all is for 95\u202f%, once settled${t.e.uncertainty.after ? ' and calibrated' : ''}. Choose a row to work with it: both resistors change.`,
    columns: [
      { head: 'above' },
      { head: 'below' },
      { head: 'pin sees', minor: true },
      { head: 'draws', unit: current.unit },
      { head: 'a year', unit: 'mAh', minor: true },
      { head: 'code at', unit: t.measurand(t.e.channel.range.low), minor: true },
      { head: 'code at', unit: t.measurand(t.e.channel.range.high), minor: true },
      { head: 'a code', unit: code.unit, minor: true },
      { head: 'leakage', unit: error.unit, minor: true },
      { head: 'in all', unit: error.unit },
      { head: 'sample', unit: 'cycles', minor: true },
    ],
    rows: rows.map(row),
  });
}

/** Words that take a pair, on screen. */
function takes(t: Told, pair: SettledPair): Prose {
  const own = t.e.worksheet.inputs.conditioning.capacitor?.value ?? 0;
  const capacitor = typeof pair.capacitor === 'number' && pair.capacitor > own ? pair.capacitor : 0;
  const plain = pair.present ? [] : [action('take the pair', pairChanges(pair))];
  const whole =
    capacitor > 0
      ? [
          action(
            `${pair.present ? 'take' : 'take it with'} ${formatQuantity({ value: capacitor, unit: 'F' })} at the pin`,
            pairChanges(pair, capacitor),
          ),
        ]
      : [];
  const all = [...plain, ...whole];
  if (all.length === 0) return [];
  return [onScreen(prose` (${all.flatMap((a, i) => (i > 0 ? [', or ', a] : [a]))})`)];
}

/** Time constants that a pin with a capacitor is given from one reading to the next. */
const recovers = 10;

/** How a pair settles: by sample time, or by a capacitor. */
function settling({ e, time }: Told, pair: SettledPair): { readonly value: string; readonly from: string } {
  const { sampleCycles, capacitor, theveninResistance } = pair;
  const { clock, sampleCycles: present } = e.sampling;
  const value = sampleCycles === 'none' ? 'no sample time' : `${sampleCycles} cycles`;
  const long = sampleCycles === 'none' ? 'at this clock' : time(sampleCycles / clock);
  if (capacitor === 0) return { value, from: `${long}; the present ${present} serve` };
  if (capacitor === 'none') return { value, from: `${long}; nor does a capacitor serve` };
  const constant = theveninResistance * capacitor;
  const slow = recovers * constant > e.worksheet.inputs.requirement.period.value;
  const farads = formatQuantity({ value: capacitor, unit: 'F' });
  return {
    value,
    from: `${long}; or ${present} with ${farads} at the pin, which recovers with a time constant of ${time(constant)}${slow ? ': too slow for the reading period' : ''}`,
  };
}

/** The figures of one pair. */
function figures(t: Told, p: WorksheetPairs, pair: SettledPair): b.Block[] {
  const { e, measurand } = t;
  const { low, high } = e.channel.range;
  const line = (what: string, value: string, from: string) => ({ what, value: prose`${value}`, from });
  const share = (pair.codes[1] - pair.codes[0]) / (e.averaging.largestCode + 1);
  const capacity = e.worksheet.inputs.power?.battery?.capacity.value;
  const { value, from } = settling(t, pair);
  const parts = causes(pair).map(([cause, size]) => `${causeWords[cause]} ${volts(size)}`);
  return [
    b.inputs([
      line('the pin sees', ohms(pair.theveninResistance), 'both in parallel, not the upper one'),
      line(
        'they draw',
        amperes(pair.current),
        `at ${measurand(high)}: ${yearly(pair)} a year${capacity ? `, ${number((100 * pair.chargePerYear) / capacity, 2)}\u202f% of the battery` : ''}`,
      ),
      line(
        'codes',
        `${pair.codes[0]} … ${pair.codes[1]}`,
        `at ${measurand(low)} and ${measurand(high)}, ${number(100 * share, 2)}\u202f% of all codes`,
      ),
      line('one code', volts(pair.perCode), 'at the voltage measured'),
      line('off by, at most', volts(pair.budget!.worstCase), 'all at their limits at once'),
      line(
        'off by, 95\u202f%',
        volts(pair.budget!.expanded),
        `root of the squares, worst at ${measurand(pair.budget!.measurand)}`,
      ),
      line('settled by', value, from),
    ]),
    paragraph(
      prose`At most that is: ${parts.join(', ')}. The resistors count with ±${formatQuantity({ value: p.tolerance, unit: '%' })} each${p.tolerance === 0 ? ', as no spread is given' : ''}.${takes(t, pair)}`,
    ),
  ];
}

/** What takes a cause off, where leakage is not what bites. */
const remedies: Readonly<Record<Exclude<Cause, 'leakage'>, Prose>> = {
  resistors: prose`Closer resistors, or a calibration at one point of each board, take most of it off.`,
  reference: prose`A calibration at one point takes its tolerance off; ${toPage('supply-and-reference', 'Supply and reference')} compares references.`,
  converter: prose`${toPage('reading-uncertainty', 'Uncertainty')} has it line by line.`,
};

/** What remains where no pair serves, however much it draws. */
function remains({ difference }: Told, { nearest, present, withoutLeakage }: WorksheetPairs): Prose {
  const pair = nearest ?? present;
  if (withoutLeakage === undefined) return prose`Switch a lower pair on for each reading instead.`;
  const wanted = pair.missed.find((m) => m.name === 'uncertainty');
  if (wanted === undefined)
    return prose`A finer code takes a higher ratio: see ${toPage('temperature-ratio', 'Which ratio?')}.`;
  const [first, second] = causes(pair).filter(([cause]) => cause !== 'leakage');
  if (first === undefined || withoutLeakage <= wanted.required)
    return prose`A pin that leaks less, a buffer ahead of it, or a cooler board is what remains.`;
  const others = [first, ...(second ? [second] : [])].map(
    ([cause, size]) => `${causeWords[cause]} ${volts(size)}`,
  );
  return prose`Without any leakage they would still be off by ${difference(withoutLeakage)}: ${others.join(', ')}. ${remedies[first[0] as keyof typeof remedies]}`;
}

/** What to do where no pair within the current serves. */
function instead(t: Told, p: WorksheetPairs): Prose {
  const { least, nearest } = p;
  const leaks = nearest?.missed.some((m) => m.name === 'uncertainty') && causes(nearest)[0]![0] === 'leakage';
  const leakage = leaks
    ? `${amperes(nearest!.leakage.current)} of leakage through the ${ohms(nearest!.theveninResistance)} that the pin sees are ${volts(nearest!.leakage.voltage)} there and ${volts(nearest!.leakage.measurand)} in the reading, whatever the sample time. `
    : '';
  if (least === undefined) {
    return prose`${leakage}${remains(t, p)}`;
  }
  const { switched } = least;
  const high = t.measurand(t.e.channel.range.high);
  const switching =
    switched.switched < p.allowedCurrent
      ? prose`Or switch the same pair on for each reading: on average it then draws ${amperes(switched.switched)}, to which the switch’s own leakage comes, and may be read ${switched.settle > 0 ? `${t.time(switched.settle)} after` : 'at once'}${onScreen(prose` (${action('take it, switched', { ...pairChanges(least), 'conditioning.excitation.switched': 'true' })})`)}. The switch belongs above the upper resistor; below the lower one it would let the pin rise to ${high} while it is open. ${toPage('charge-and-battery', 'Charge and battery')} tells from which reading period on that pays.`
      : prose`Switching it on for each reading does not bring it under ${amperes(p.allowedCurrent)} either.`;
  return prose`${leakage}${nearest ? 'Either allow more' : 'Allow more'}: ${pairWords(least)} draw least of those that keep everything, ${amperes(least.current)}, ${yearly(least)} a year${takes(t, least)}. ${switching}`;
}

function pairWorking(t: Told, p: WorksheetPairs, pair: SettledPair): b.Working {
  const { e } = t;
  const { reference, bits } = e.quantizing;
  const [r1, r2] = [ohms(pair.upper), ohms(pair.lower)];
  const high = volts(e.channel.range.high);
  const { numerator, denominator } = pair.multiplier;
  const { resultLsb } = e.averaging;
  const direct = e.worksheet.inputs.conditioning.amplifier === undefined && Number.isSafeInteger(numerator);
  return b.working({
    result: `${amperes(pair.current)} through ${ohms(pair.upper + pair.lower)}`,
    steps: [
      { formula: 'I = V/(R_1 + R_2)', with: { I: amperes(pair.current), V: high, R_1: r1, R_2: r2 } },
      prose`The pin sees both in parallel:`,
      { formula: 'R = (R_1 R_2)/(R_1 + R_2)' },
      prose`It may get ${volts(p.largestAtPin)}, the reference at its least, with the tolerance ${b.symbol('t')} at its worst:`,
      { formula: 'V (R_2 (1 + t))/(R_1 (1 − t) + R_2 (1 + t)) ≤ V_pin' },
      prose`Leakage through both in parallel, brought back to the voltage measured, is that through the upper one:`,
      { formula: 'ΔV = I R (R_1 + R_2)/R_2 = I R_1' },
      ...(direct
        ? [
            prose`Back from a code ${b.symbol('k')} of the result, ${number(resultLsb)} LSB each:`,
            {
              formula: 'V = k l V_ref/2^N (R_1 + R_2)/R_2',
            },
            {
              formula: 'V = k × l × V_ref/2^N × p/q',
              with: {
                l: formatNumber({ value: resultLsb, digits: 6 }),
                V_ref: `${formatFixed({ value: reference * 1000, decimals: 0 })}\u202fmV`,
                N: String(bits),
                p: String(numerator),
                q: String(denominator),
              },
            },
            prose`${volts(pair.perCode)} a code; ${toPage('into-firmware', 'Into firmware')} has the integers.`,
          ]
        : []),
    ],
    source: `Values of ${p.series}: IEC 60063. That 10 MΩ is the most: common practice, no source. A year is 8760 h.`,
  });
}

/** Which two resistors; nothing where the sensor is no divider. */
export function dividerPairSections(t: Told): Section[] {
  const { e } = t;
  const p = dividerPairsOf(e);
  if (p === undefined) return [];
  if (p === 'needless') {
    return [
      {
        claim: `The pin takes ${t.measurand(e.channel.range.high)} as it is: no divider is needed.`,
        body: [
          paragraph(prose`That stays within the reference of ${volts(e.quantizing.reference)} at its least.`),
        ],
      },
    ];
  }
  const shown = p.nearest;
  const switched = switchingOf(e).switching;
  const average = switched?.present
    ? paragraph(
        prose`Switched as here, the present pair draws ${amperes(switched.switched)} on average; the currents above are those while it is on.`,
      )
    : undefined;
  return [
    { body: [pairTable(t, p), ...(average ? [average] : [])] },
    ...(shown
      ? [
          {
            claim: `${ohms(shown.upper)} and ${ohms(shown.lower)} ${shown.present ? 'are' : 'would be'} off by ${t.difference(shown.budget!.worstCase)} at most.`,
            body: figures(t, p, shown),
            margin: [
              pairWorking(t, p, shown),
              paragraph(
                prose`Above a megohm, flux, dirt and moisture lead as much as the resistors: clean or coat the board. A resting voltage says little of charge, or of sag under load.`,
              ),
            ],
          },
        ]
      : []),
    ...(p.serves
      ? []
      : [
          {
            claim: p.least
              ? `With ${amperes(p.least.current)} there is a pair that keeps everything.`
              : `Up to ${amperes(mostCurrent * p.allowedCurrent)} no other pair keeps it either.`,
            body: [paragraph(instead(t, p))],
          },
        ]),
  ];
}

/**
 * The resistors of a worksheet's voltage divider: which pairs of a series keep under the current allowed, what each makes of the
 * reading, and what to change where none of them keeps what is wanted.
 *
 * In comes what was evaluated; a pair is judged as the same worksheet with other resistors, calibrated at the same points where it
 * states some, and once it has settled, which sample time or capacitor see to.
 */
import { type DividerPair, dividerPair, dividerPairs } from '../chain/conditioning/dividerPairs.ts';
import { pinCapacitanceWindows } from '../chain/sampling/pinCapacitance.ts';
import type { SeriesName } from '../numbers/eseries.ts';
import { normalQuantile } from '../numbers/normal.ts';
import { channelFrom } from './channelFrom.ts';
import { leakageCurrent } from './conditionsOf.ts';
import type { Evaluation, SamplingResult, UncertaintyPoint } from './evaluation.ts';
import { type LeakageResult, leakageOf } from './pinOf.ts';
import type { Worksheet } from './read.ts';
import { capacitorOf } from './sampleChangesOf.ts';
import { fewestCycles, networkAt, samplingOf } from './samplingOf.ts';
import { relativeSpread, sensorFrom, withResistors } from './sensors.ts';
import { internalOf } from './supplyThrough.ts';
import { type DividerSwitching, switchingOf } from './switchingOf.ts';
import { budgetAt, coverage, surveyed, worstOver } from './uncertaintyOf.ts';

/** What a pair misses: the figure and its limit, in the unit of what is judged. */
export interface PairMiss {
  readonly name: 'current' | 'pin' | 'uncertainty' | 'step' | 'resolution';
  readonly actual: number;
  readonly required: number;
}

/** Two resistors, and what they make of the worksheet's reading. */
export interface PairRow extends DividerPair {
  /** Result codes at the low and the high end of the range. */
  readonly codes: readonly [number, number];
  /** One code of the result, V at the voltage measured. */
  readonly perCode: number;
  /** Where over the range leakage moves the reading most. */
  readonly leakage: LeakageResult;
  /** The budget where over the range it is largest, once settled; absent where the pin goes beyond the reference. */
  readonly budget?: UncertaintyPoint;
  /** Fewest sample cycles of the profile that settle it at this clock. */
  readonly sampleCycles: number | 'none';
  readonly missed: readonly PairMiss[];
  /** As the worksheet has it. */
  readonly present: boolean;
}

/** A pair with the smallest capacitor of E6 at the pin that settles it at the present sample time, F; 0 where none is needed. */
export interface SettledPair extends PairRow {
  readonly capacitor: number | 'none';
}

/** The resistors of a worksheet's divider. */
export interface WorksheetPairs {
  readonly allowedCurrent: number;
  /** Whether the worksheet says so; else what the present pair draws is allowed. */
  readonly stated: boolean;
  readonly series: SeriesName;
  /** Half-width of each resistor, relative. */
  readonly tolerance: number;
  /** What the pin may get, V: the reference at its least, a code below. */
  readonly largestAtPin: number;
  /** The best pair for each stretch of current, and the present one; by rising resistance. */
  readonly rows: readonly PairRow[];
  readonly present: PairRow;
  /** The pair within the current that reads nearest; absent where there is none. */
  readonly nearest?: SettledPair;
  /** Whether that keeps all that is wanted. */
  readonly serves: boolean;
  /** What that, or else the present pair, would be off by (95 %) if the pin did not leak, V. */
  readonly withoutLeakage?: number;
  /** Where it does not: the pair that draws least of those that do, looked for up to `mostCurrent`, and the same switched. */
  readonly least?: SettledPair & { readonly switched: DividerSwitching };
}

/** Times the current allowed up to which a pair is looked for where none within it serves. */
export const mostCurrent = 10;

/** Largest resistor that is looked for, Ω. */
const mostResistor = 10e6;

/** Stretches of current, and how far below the allowed one they reach together. */
const stretches = 6;
const reach = 4;

type Inputs = Worksheet['inputs'];
type Divider = Extract<Inputs['sensor'], { kind: 'divider' }>;

/** The least that the reference may be, relative to what it is taken for. */
function leastReference(worksheet: Worksheet): number {
  const { conditioning, converter } = worksheet.inputs;
  if (conditioning.wiring === 'ratiometric') return 1;
  const { source, voltage } = converter.reference;
  if (source !== 'internal') return 1 - (voltage ? relativeSpread(voltage) : 0);
  const { tolerance, drift } = internalOf(worksheet);
  return 1 - tolerance - drift;
}

/** What the search asks, of the evaluation. */
function demandOf({ worksheet, quantizing, channel }: Evaluation, { top, bottom }: Divider) {
  const { inputs, profile } = worksheet;
  const { amplifier } = inputs.conditioning;
  const { reference, codeBinWidth, bits } = quantizing;
  const gain = amplifier?.gain ?? 1;
  const zero = amplifier?.zero.value ?? 0;
  const coarser = 2 ** (profile.resolutions[0]!.bits - bits);
  return {
    highest: channel.range.high,
    largestAtPin: ((1 - 2 ** -bits) * reference * leastReference(worksheet)) / gain + zero,
    tolerance: Math.max(relativeSpread(top), relativeSpread(bottom)),
    // An amplifier stands between the resistors and the pin.
    leakage: amplifier ? 0 : leakageCurrent(worksheet),
    pinError: ((profile.offset.value + profile.inl.value) / coarser) * (codeBinWidth / gain),
  };
}

type Demand = ReturnType<typeof demandOf>;

/** The worksheet with two other resistors, as far as a pair is judged by it. */
type Changed = Pick<Evaluation, 'worksheet' | 'channel'>;

function changedTo({ worksheet, quantizing }: Evaluation, pair: DividerPair): Changed {
  const sensor = withResistors(worksheet.inputs.sensor as Divider, pair.upper, pair.lower);
  const changed = { ...worksheet, inputs: { ...worksheet.inputs, sensor } };
  return {
    worksheet: changed,
    channel: channelFrom(changed, sensorFrom(sensor, quantizing.firstTransition), quantizing),
  };
}

/**
 * The budget of a pair that has settled, where it is largest. Without a correction every effect is a constant or grows with the
 * voltage, so that is at the high end of the range.
 */
function settledBudget(e: Evaluation, changed: Changed): UncertaintyPoint {
  const survey = surveyed({ ...e, ...changed, sampling: { ...e.sampling, settlingErrorLsb: 0 } });
  const correction = e.uncertainty.after?.correction;
  return correction ? worstOver(survey, correction) : budgetAt(survey, changed.channel.range.high);
}

/** The pair with the capacitor that settles it, and with its sampling. */
function settled(
  e: Evaluation,
  { row, changed }: Judged,
): { readonly row: SettledPair; readonly sampling: SamplingResult } {
  const { bits, reference } = e.quantizing;
  const { ratio, resultLsb } = e.averaging;
  const { worksheet, channel } = changed;
  const sampling = samplingOf(worksheet, channel, e.quantizing, ratio, resultLsb);
  const { allowedErrorLsb, sampleTime, interval: period, settlingErrorLsb } = sampling;
  if (Math.abs(settlingErrorLsb) <= allowedErrorLsb) return { row: { ...row, capacitor: 0 }, sampling };
  const { pinCapacitance: _, ...network } = networkAt(worksheet, channel, reference, sampling.worstAt);
  const windows = pinCapacitanceWindows({
    ...network,
    sampleTime,
    period,
    ratio,
    allowedErrorLsb,
    bits,
    reference,
  });
  return { row: { ...row, capacitor: capacitorOf(windows, worksheet.profile) ?? 'none' }, sampling };
}

interface Judged {
  readonly row: PairRow;
  readonly changed: Changed;
}

/** A pair and all that it makes of the reading; `allowed` is the current that it may draw. */
function rowOf(
  e: Evaluation,
  { largestAtPin, highest, tolerance }: Demand,
  pair: DividerPair,
  allowed: number,
): Judged {
  const changed = changedTo(e, pair);
  const { channel, worksheet } = changed;
  const { requirement, sensor } = e.worksheet.inputs;
  const { top, bottom } = sensor as Divider;
  const { low, high } = channel.range;
  const [r1, r2] = [pair.upper * (1 - tolerance), pair.lower * (1 + tolerance)];
  const atPin = (highest * r2) / (r1 + r2);
  const beyond = atPin > largestAtPin * (1 + 1e-9);
  const budget = beyond ? undefined : settledBudget(e, changed);
  // Step and noise are so many codes, whatever a code is worth.
  const wider = channel.worst.perCode / e.channel.worst.perCode;
  const missed: PairMiss[] = [];
  const judge = (name: PairMiss['name'], actual: number, required: number | undefined): void => {
    if (required !== undefined && actual > required * (1 + 1e-9)) missed.push({ name, actual, required });
  };
  judge('current', pair.current, allowed);
  judge('pin', atPin, largestAtPin);
  judge('uncertainty', budget?.expanded ?? 0, requirement.uncertainty?.value);
  judge('step', e.reading.step * wider, requirement.step?.value);
  judge('resolution', e.reading.rms * wider, requirement.resolution?.value);
  const row = {
    ...pair,
    codes: [low, high].map((m) => e.reading.codeOfMean(channel.codeOf(m))) as [number, number],
    perCode: channel.worst.perCode * e.averaging.resultLsb,
    leakage: leakageOf({ ...changed, quantizing: e.quantizing }),
    ...(budget && { budget }),
    sampleCycles: fewestCycles(
      worksheet,
      channel,
      e.quantizing,
      e.averaging.ratio,
      e.sampling.allowedErrorLsb,
    ),
    missed,
    present: pair.upper === top.value && pair.lower === bottom.value,
  };
  return { row, changed };
}

/** The best pair of each stretch of current from the allowed one down. */
function bestOfStretches(pairs: readonly DividerPair[], allowed: number): DividerPair[] {
  const best = new Map<number, DividerPair>();
  for (const p of pairs) {
    const stretch = Math.floor((stretches * Math.log(allowed / p.current)) / Math.log(reach) + 1e-9);
    if (stretch >= stretches) break;
    const known = best.get(stretch);
    if (known === undefined || p.worstCase < known.worstCase) best.set(stretch, p);
  }
  return [...best.values()];
}

/**
 * The largest upper resistor that may keep what is wanted, Ω: 0 where none may. Beside leakage a pair is off by no less than a known
 * one without its own, were it to use all of the pin's range: the resistors' part goes as the lack of share, the converter's as its
 * inverse, the rest stays.
 */
function largestUpper(
  { worksheet }: Evaluation,
  { leakage, largestAtPin, highest }: Demand,
  known: PairRow,
): number {
  const wanted = worksheet.inputs.requirement.uncertainty?.value;
  if (wanted === undefined || leakage === 0 || known.budget === undefined) return mostResistor;
  const most = largestAtPin / highest;
  const share = known.pinVoltage / highest;
  // No coverage factor is below that of the normal distribution.
  const factor = normalQuantile((1 + coverage) / 2);
  const least = Math.min(1, share / most, (1 - most) / (1 - share));
  const rest = (factor / known.budget.coverageFactor) * withoutLeakage(known.budget) * least;
  const left = wanted ** 2 - rest ** 2;
  return left <= 0 ? 0 : Math.min(mostResistor, Math.sqrt(3 * left) / (factor * leakage));
}

/** The least share of the pin's range at which step and noise are no wider than wanted; both go as its inverse. */
function leastShare({ worksheet, reading }: Evaluation, { share }: DividerPair): number {
  const { step, resolution } = worksheet.inputs.requirement;
  const times = [step && reading.step / step.value, resolution && reading.rms / resolution.value];
  return share * Math.max(0, ...times.map((t) => t ?? 0)) * (1 - 1e-9);
}

/**
 * The pairs of resistors for a worksheet's voltage divider.
 *
 * @param e - evaluation of the worksheet
 * @returns nothing where its sensor is no divider; 'needless' where the pin takes the whole voltage
 */
export function dividerPairsOf(e: Evaluation): WorksheetPairs | 'needless' | undefined {
  const { sensor } = e.worksheet.inputs;
  if (sensor.kind !== 'divider') return undefined;
  const demand = demandOf(e, sensor);
  if (!(demand.largestAtPin > 0) || demand.highest <= demand.largestAtPin) return 'needless';
  const series = sensor.series ?? 'E24';
  const own = dividerPair(demand, sensor.top.value, sensor.bottom.value);
  const allowed = sensor.allowedCurrent?.value ?? own.current;
  const search = (largestCurrent: number, largestResistor = mostResistor): readonly DividerPair[] =>
    largestResistor < 1
      ? []
      : dividerPairs({ ...demand, largestCurrent: Math.min(1, largestCurrent), series, largestResistor })
          .pairs;
  const judged = (pair: DividerPair): Judged => rowOf(e, demand, pair, allowed);
  const found = bestOfStretches(search(allowed), allowed).map(judged);
  const present = found.find(({ row }) => row.present) ?? judged(own);
  const all = [...found.filter((j) => j !== present), present].sort((a, b) => b.row.current - a.row.current);
  const nearest = all
    .filter(({ row }) => row.budget && row.current <= allowed * (1 + 1e-9))
    .reduce<Judged | undefined>(
      (a, b) => (a && a.row.budget!.expanded <= b.row.budget!.expanded ? a : b),
      undefined,
    );
  const serves = nearest?.row.missed.length === 0;
  const { budget } = (nearest ?? present).row;
  let least: Judged | undefined;
  const upTo = serves ? 0 : largestUpper(e, demand, (nearest ?? present).row);
  const finer = leastShare(e, own);
  for (const pair of search(mostCurrent * allowed, upTo).toReversed()) {
    if (pair.share < finer) continue;
    least = rowOf(e, demand, pair, Number.POSITIVE_INFINITY);
    if (least.row.missed.length === 0) break;
    least = undefined;
  }
  return {
    allowedCurrent: allowed,
    stated: sensor.allowedCurrent !== undefined,
    series,
    tolerance: demand.tolerance,
    largestAtPin: demand.largestAtPin,
    rows: all.map(({ row }) => row),
    present: present.row,
    ...(nearest && { nearest: settled(e, nearest).row }),
    ...(budget && { withoutLeakage: withoutLeakage(budget) }),
    serves,
    ...(least && { least: withSwitching(e, least) }),
  };
}

/** The pair that serves at more current, and what it takes switched. */
function withSwitching(e: Evaluation, least: Judged): NonNullable<WorksheetPairs['least']> {
  const { row, sampling } = settled(e, least);
  const { switching } = switchingOf({ ...e, ...least.changed, sampling });
  return { ...row, switched: switching! };
}

const withoutLeakage = ({ lines, coverageFactor }: UncertaintyPoint): number =>
  coverageFactor *
  Math.hypot(...lines.filter((l) => l.path !== 'converter.leakage').map((l) => l.uncertainty));

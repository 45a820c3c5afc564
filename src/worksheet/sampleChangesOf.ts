/**
 * What else would let a worksheet's source settle: a slower clock, a capacitor at the pin, a lower divider, conversions left
 * out. Each is judged by the settling of the whole range, as the evaluation does.
 */
import { nearestInSeries, stepSeries } from '../numbers/eseries.ts';
import { asciiQuantity, formatQuantity } from '../numbers/format.ts';
import { channelFrom } from './channelFrom.ts';
import type { Evaluation } from './evaluation.ts';
import type { PinResult } from './pinOf.ts';
import type { Worksheet } from './read.ts';
import type { SampleTimes } from './sampleTimesOf.ts';
import { timesOf, worstSettling } from './samplingOf.ts';
import { sensorFrom, withResistors } from './sensors.ts';

/** One change, or set of changes, to the worksheet. */
export interface SampleChange {
  readonly kind: 'clock' | 'capacitor' | 'divider' | 'discard' | 'buffer';
  /** A sentence with the figures. */
  readonly text: string;
  /** Whether the reading is settled with it. */
  readonly serves: boolean;
  /** Worksheet path → text; empty where the worksheet has no input for it. */
  readonly changes: Readonly<Record<string, string>>;
}

type Inputs = Worksheet['inputs'];

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });
const farads = (value: number): string => formatQuantity({ value, unit: 'F' });
const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB', digits: 2 });

/** |mean of the burst|, native LSB, worst over the range, with some inputs changed; undefined where it does not fit the trigger. */
function settled(e: Evaluation, change: Partial<Inputs>, cycles: number): number | undefined {
  const worksheet = { ...e.worksheet, inputs: { ...e.worksheet.inputs, ...change } };
  const { interval, conversionTime } = timesOf(worksheet, cycles, e.quantizing.bits);
  if (interval < conversionTime) return undefined;
  const sensor = change.sensor ? sensorFrom(change.sensor, worksheet.profile.firstTransition) : e.sensor;
  const channel = channelFrom(worksheet, sensor, e.quantizing);
  return Math.abs(worstSettling(worksheet, channel, e.quantizing, e.averaging.ratio, cycles).error);
}

/** The fastest of the slower clocks at which a sample time of the profile serves. */
function slowerClock(e: Evaluation): SampleChange | undefined {
  const { profile, inputs } = e.worksheet;
  const { sampling } = inputs;
  for (const value of profile.clock.dividers.filter((d) => d > sampling.clockDivider.value)) {
    const change = { sampling: { ...sampling, clockDivider: { value, from: 'calculated' as const } } };
    const cycles = profile.sampleCycles.find(
      (c) => (settled(e, change, c) ?? Number.POSITIVE_INFINITY) <= e.sampling.allowedErrorLsb,
    );
    if (cycles === undefined) continue;
    const clock = formatQuantity({ value: profile.clock.source.value / value, unit: 'Hz' });
    const left = lsb(settled(e, change, cycles)!);
    return {
      kind: 'clock',
      text: `At a clock of ${clock}, ${cycles} cycles leave ${left}.`,
      serves: true,
      changes: { 'sampling.clockDivider': String(value), 'sampling.sampleCycles': String(cycles) },
    };
  }
  return undefined;
}

/** The next capacitor of E6 from the lower end of the upper window on, beside what the pin itself has; undefined where none serves. */
export function capacitorOf(
  { large }: PinResult['windows'],
  { pinCapacitance: { value: own } }: Worksheet['profile'],
): number | undefined {
  if (large === null) return undefined;
  const least = large[0] - own;
  if (least <= 0) return undefined;
  let value = nearestInSeries({ value: least * 1.02, series: 'E6' });
  if (value < least) value = stepSeries({ value, series: 'E6', direction: 'up' })!;
  const beyond = large[1] !== 'any' && value + own > large[1];
  return beyond || value > 1e-3 ? undefined : value;
}

/** That capacitor, at the present sample time. */
function largeCapacitor(e: Evaluation, { windows, wakeTime }: PinResult): SampleChange | undefined {
  const { inputs, profile } = e.worksheet;
  const value = capacitorOf(windows, profile);
  if (value === undefined) return undefined;
  const change = {
    conditioning: {
      ...inputs.conditioning,
      capacitor: { value, from: 'calculated' as const, text: farads(value), unit: 'F' },
    },
  };
  const left = settled(e, change, e.sampling.sampleCycles);
  if (left === undefined) return undefined;
  const recovery = formatQuantity({ value: e.sampling.sourceResistance * value, unit: 's' });
  const wake = wakeTime === undefined ? 'after power-up' : 'each time the source is switched on';
  return {
    kind: 'capacitor',
    text: `With ${farads(value)} at the pin the present sample time leaves ${lsb(left)}; the pin then follows its source with a time constant of ${recovery}, and must be waited for ${wake}.`,
    serves: left <= e.sampling.allowedErrorLsb,
    changes: { 'conditioning.capacitor': asciiQuantity({ value, unit: 'F' }) },
  };
}

/** Both resistors of a voltage divider lowered to what the present sample time serves. */
function lowerDivider(e: Evaluation): SampleChange | undefined {
  const { inputs } = e.worksheet;
  const { maxSourceResistance: most, sourceResistance } = e.sampling;
  if (inputs.sensor.kind !== 'divider' || typeof most !== 'number') return undefined;
  const { top, bottom } = inputs.sensor;
  const share = most / sourceResistance;
  const lowered = ({ value }: { value: number }): number => {
    const near = nearestInSeries({ value: value * share, series: 'E24' });
    return near <= value * share ? near : stepSeries({ value: near, series: 'E24', direction: 'down' })!;
  };
  const [up, down] = [lowered(top), lowered(bottom)];
  const sensor = withResistors(inputs.sensor, up, down);
  const left = settled(e, { sensor }, e.sampling.sampleCycles);
  if (left === undefined) return undefined;
  const draws = (a: number, b: number): string =>
    formatQuantity({ value: e.channel.range.high / (a + b), unit: 'A' });
  return {
    kind: 'divider',
    text: `With ${ohms(up)} above and ${ohms(down)} below, the present sample time leaves ${lsb(left)}; the divider then draws ${draws(up, down)} in place of ${draws(top.value, bottom.value)}.`,
    serves: left <= e.sampling.allowedErrorLsb,
    changes: {
      'sensor.top': asciiQuantity({ value: up, unit: 'ohm' }),
      'sensor.bottom': asciiQuantity({ value: down, unit: 'ohm' }),
    },
  };
}

/** A buffer, or whatever else drives the pin with less. */
function buffer({ sampling }: Evaluation): SampleChange | undefined {
  const most = sampling.maxSourceResistance;
  if (typeof most !== 'number') return undefined;
  return {
    kind: 'buffer',
    text: `A buffer of at most ${ohms(most)} ahead of the pin lets the present sample time serve; it takes its own supply current and adds its own offset.`,
    serves: true,
    changes: {},
  };
}

/**
 * What else would let the source settle, at the present sample time where no other is named.
 *
 * @param e - evaluation of the worksheet
 * @param times - its sample times
 * @param pin - its pin
 * @returns those that serve first; empty where the chosen sample time serves
 */
export function sampleChangesOf(e: Evaluation, times: SampleTimes, pin: PinResult): SampleChange[] {
  const { worth, discard } = times.chosen;
  if (worth === undefined || !times.chosen.missed.some((r) => r.name === 'settling')) return [];
  const found = [
    times.recommended ? undefined : slowerClock(e),
    typeof discard !== 'number'
      ? undefined
      : {
          kind: 'discard' as const,
          text: `Leaving out the first ${discard === 1 ? 'conversion' : `${discard} conversions`} of each burst lets the present sample time serve: the capacitor keeps its charge.`,
          serves: true,
          changes: {},
        },
    largeCapacitor(e, pin),
    lowerDivider(e),
    buffer(e),
  ].filter((c) => c !== undefined);
  return [...found.filter((c) => c.serves), ...found.filter((c) => !c.serves)];
}

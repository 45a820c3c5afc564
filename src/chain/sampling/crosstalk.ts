/**
 * Crosstalk of a scan: the error that each channel leaves in the next one.
 *
 * The sampling capacitor goes from channel to channel and comes to each with the voltage that it held at the one before. In
 * come the channels and the order in which they are converted, again and again; out goes each channel's error.
 */
import { between, maybe, named, numbers, or, type Rule, refusal } from '../../numbers/guard.ts';
import { fixedParts, pinCapacitance, seconds, sourceResistance } from './arguments.ts';
import { missingPart } from './gain.ts';
import { cycle, type Modes, modes, unsettledPart } from './network.ts';

/** One channel of a scan. */
export interface ScanChannel {
  /** Voltage of the source, V. */
  voltage: number;
  /** R_s, Ω. */
  sourceResistance: number;
  /** C_p, pin plus external, F. */
  pinCapacitance: number;
  /** Time that the switch is closed, s. */
  sampleTime: number;
}

/** The scan, without its order. */
export interface Scan {
  /** The channels, 2 … 64. */
  channels: readonly ScanChannel[];
  /** R_sw, Ω. */
  switchResistance: number;
  /** C_s, F. */
  sampleCapacitance: number;
  /** From the end of a sample time to the start of the next, s; 0 if absent. */
  holdTime?: number | undefined;
  /** Start of one scan to the start of the next, s; if absent every pin has settled on its source before its turn. */
  period?: number | undefined;
  /** Whether each channel is converted twice and the first result left out; false if absent. */
  dummy?: boolean | undefined;
}

/** What one channel receives from the one before it. */
export interface ChannelError {
  /** Index of the channel. */
  channel: number;
  /** Index of the one converted before it. */
  previous: number;
  /** Part of the difference between the two that is left in this channel's result, 0 … 1. */
  coupling: number;
  /** Held voltage less the source's, V; what the one before had received itself is included. */
  error: number;
}

const channelShape = {
  voltage: between(-1e12, 1e12, 'V'),
  sourceResistance,
  pinCapacitance,
  sampleTime: seconds,
};

const list: Rule<readonly unknown[]> = {
  allowed: 'an array of 2 … 64 channels',
  keeps: (v): v is readonly unknown[] => Array.isArray(v) && v.length >= 2 && v.length <= 64,
};

const flag: Rule<boolean> = {
  allowed: 'true or false',
  keeps: (v): v is boolean => typeof v === 'boolean',
};

/** The rules of a scan's arguments. */
export const scanShape = {
  channels: list,
  ...fixedParts,
  holdTime: or(between(0, 1e40, 's'), 0),
  period: maybe(seconds),
  dummy: or(flag, false),
};

/** A scan with its channels read and the coupling of each worked out; neither depends on the order. */
export interface CoupledScan {
  readonly voltages: readonly number[];
  readonly couplings: readonly number[];
}

/** The couplings of the channels of a scan whose arguments keep `scanShape`. */
export function coupledScan(
  caller: string,
  a: {
    channels: readonly unknown[];
    switchResistance: number;
    sampleCapacitance: number;
    holdTime: number;
    period?: number | undefined;
    dummy: boolean;
  },
): CoupledScan {
  const channels = a.channels.map((c, i) => named(`${caller}.channels[${i}]`, channelShape, c));
  const turns = a.dummy ? 2 : 1;
  const busy = channels.reduce((sum, c) => sum + turns * (c.sampleTime + a.holdTime), 0);
  // One part in 1e12 for the rounding of a sum that just fits.
  if (a.period !== undefined && a.period < busy * (1 - 1e-12)) {
    throw new RangeError(
      refusal(
        `${caller}.period`,
        a.period,
        `from ${Number(busy.toPrecision(6))} s, the conversions of one scan`,
      ),
    );
  }
  const couplings = channels.map((c) => {
    const m = modes(c.sourceResistance, c.pinCapacitance, a.switchResistance, a.sampleCapacitance);
    return coupling(m, c.sampleTime, a.holdTime, a.period, a.dummy);
  });
  return { voltages: channels.map((c) => c.voltage), couplings };
}

/** What is left of a deviation that C_s brings to a channel, scan after scan. */
function coupling(
  m: Modes,
  sampleTime: number,
  holdTime: number,
  period: number | undefined,
  dummy: boolean,
): number {
  if (!dummy) {
    return period === undefined
      ? unsettledPart(m, sampleTime)
      : missingPart(m, sampleTime, period, 'previous', 'steady');
  }
  // Two conversions in a row, C_s keeping its charge between them; then the pin recovers to the next scan.
  const first = cycle(m, sampleTime, holdTime);
  const rest = period === undefined ? Number.POSITIVE_INFINITY : period - 2 * sampleTime - holdTime;
  const second = cycle(m, sampleTime, Math.max(0, rest));
  const direct = second.pinToSample * first.sampleToPin + second.sampleToSample * first.sampleToSample;
  const pinToSample = second.pinToSample * first.pinToPin + second.sampleToSample * first.pinToSample;
  const sampleToPin = second.pinToPin * first.sampleToPin + second.sampleToPin * first.sampleToSample;
  const loss = second.pinLoss + second.pinToPin * first.pinLoss - second.sampleToPin * first.pinToSample;
  return direct + (pinToSample * sampleToPin) / loss;
}

/** The errors of a scan in a given order, in that order, once it has gone round many times. */
export function scanErrors(scan: CoupledScan, order: ArrayLike<number>, out: Float64Array): Float64Array {
  const { voltages, couplings } = scan;
  const n = order.length;
  const brought = (k: number): number => voltages[order[k === 0 ? n - 1 : k - 1]!]! - voltages[order[k]!]!;
  // Once round from an error of 0 before the first, and what is left of an error there.
  let error = 0;
  let left = 1;
  for (let k = 0; k < n; k++) {
    const g = couplings[order[k]!]!;
    error = g * (brought(k) + error);
    left *= g;
  }
  // Where nothing settles at all the cycle does not close; the least distance from 1 keeps the answer finite.
  error /= Math.max(1 - left, Number.EPSILON);
  for (let k = 0; k < n; k++) out[k] = error = couplings[order[k]!]! * (brought(k) + error);
  return out;
}

/** What each channel receives, in the order of conversion. */
export function channelErrors(scan: CoupledScan, order: ArrayLike<number>): ChannelError[] {
  const errors = scanErrors(scan, order, new Float64Array(order.length));
  return Array.from(errors, (error, k) => {
    const channel = order[k]!;
    const previous = order[k === 0 ? order.length - 1 : k - 1]!;
    // Adding 0 turns −0 into 0.
    return { channel, previous, coupling: scan.couplings[channel]!, error: error + 0 };
  });
}

const crosstalkShape = { ...scanShape, order: maybe(numbers(2)) };

/**
 * The error that each channel of a scan receives from the one before it, the scan going round and round.
 *
 *     error_i = coupling_i·(V_j + error_j − V_i),  j the channel before i
 *
 * With a `period` the pins recover between scans for the time that is left, else they have settled. With `dummy` each
 * channel is converted twice in a row and the second result counts; the sampling capacitor keeps its charge throughout.
 *
 * @param channels - 2 … 64 of {voltage V, sourceResistance Ω, pinCapacitance F, sampleTime s}; not modified
 * @param order - indices of the channels in the order of conversion, each once; as listed if absent; not modified
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param holdTime - from the end of a sample time to the start of the next, s, from 0; 0 if absent
 * @param period - start to start of the scan, s, at least the time of its conversions; if absent every pin has settled
 * @param dummy - whether each channel's first conversion is left out; false if absent
 * @returns one entry per channel, in the order of conversion: V, and the part of the difference that is left
 * @throws RangeError if an argument is out of range, `order` is no order of the channels, or `period` is too short
 * @see the derivation at the head of network.ts
 *
 * @example
 * crosstalk({ channels: [{ voltage: 0, sourceResistance: 0, pinCapacitance: 0, sampleTime: 1e-6 }, { voltage: 3, sourceResistance: 9e3, pinCapacitance: 0, sampleTime: 1e-6 }], switchResistance: 1e3, sampleCapacitance: 1e-11 })[1].error // => -0.00013620
 */
export function crosstalk(given: Scan & { order?: ArrayLike<number> | undefined }): ChannelError[] {
  const a = named('crosstalk', crosstalkShape, given);
  const scan = coupledScan('crosstalk', a);
  const n = scan.voltages.length;
  const order = a.order ? Array.from(a.order) : scan.voltages.map((_, i) => i);
  const seen = new Set(order.filter((i) => Number.isInteger(i) && 0 <= i && i < n));
  if (order.length !== n || seen.size !== n) {
    throw new RangeError(refusal('crosstalk.order', order.join(', '), `each of 0 … ${n - 1} once`));
  }
  return channelErrors(scan, order);
}

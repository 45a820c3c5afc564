/**
 * Crosstalk of a scan: the error that each channel leaves in the next one.
 *
 * The sampling capacitor goes from channel to channel and comes to each with the voltage that it held at the one before. In
 * come the channels and the order in which they are converted, again and again; out goes each channel's error.
 */
import { between, maybe, named, numbers, or, type Rule, refusal, whole } from '../../numbers/guard.ts';
import { fixedParts, pinCapacitance, seconds, sourceResistance } from './arguments.ts';
import { missingPart } from './gain.ts';
import { type Cycle, cycle, type Modes, modes, unsettledPart } from './network.ts';

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
  /** Conversions left out after each change of channel, 0 … 16; true is one; none if absent. */
  dummy?: boolean | number | undefined;
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

const leftOut = whole(0, 16);
const leftOutOrFlag: Rule<boolean | number> = {
  allowed: `true, false, or ${leftOut.allowed}`,
  keeps: (v): v is boolean | number => typeof v === 'boolean' || leftOut.keeps(v),
};

/** The rules of a scan's arguments. */
export const scanShape = {
  channels: list,
  ...fixedParts,
  holdTime: or(between(0, 1e40, 's'), 0),
  period: maybe(seconds),
  dummy: or(leftOutOrFlag, false),
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
    dummy: boolean | number;
  },
): CoupledScan {
  const channels = a.channels.map((c, i) => named(`${caller}.channels[${i}]`, channelShape, c));
  const turns = 1 + Number(a.dummy);
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
    return coupling(m, c.sampleTime, a.holdTime, a.period, turns);
  });
  return { voltages: channels.map((c) => c.voltage), couplings };
}

/** What is left of a deviation that C_s brings to a channel, scan after scan, in the last of `turns` conversions. */
function coupling(
  m: Modes,
  sampleTime: number,
  holdTime: number,
  period: number | undefined,
  turns: number,
): number {
  if (turns === 1) {
    return period === undefined
      ? unsettledPart(m, sampleTime)
      : missingPart(m, sampleTime, period, 'previous', 'steady');
  }
  // Conversions in a row, C_s keeping its charge between them; after the last the pin recovers to the next scan.
  const again = cycle(m, sampleTime, holdTime);
  const busy = turns * sampleTime + (turns - 1) * holdTime;
  const last = cycle(
    m,
    sampleTime,
    period === undefined ? Number.POSITIVE_INFINITY : Math.max(0, period - busy),
  );
  let row: Row = again;
  for (let turn = 2; turn <= turns; turn++) row = followed(row, turn < turns ? again : last);
  return row.sampleToSample + (row.pinToSample * row.sampleToPin) / row.pinLoss;
}

/** The weights of a row of conversions. */
type Row = Pick<Cycle, 'sampleToSample' | 'pinToSample' | 'sampleToPin' | 'pinToPin' | 'pinLoss'>;

/** A row of conversions with one more after it. */
const followed = (row: Row, c: Cycle): Row => ({
  sampleToSample: c.pinToSample * row.sampleToPin + c.sampleToSample * row.sampleToSample,
  pinToSample: c.pinToSample * row.pinToPin + c.sampleToSample * row.pinToSample,
  sampleToPin: c.pinToPin * row.sampleToPin + c.sampleToPin * row.sampleToSample,
  pinToPin: c.pinToPin * row.pinToPin + c.sampleToPin * row.pinToSample,
  pinLoss: c.pinLoss + c.pinToPin * row.pinLoss - c.sampleToPin * row.pinToSample,
});

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
 * channel is converted so many times more in a row and the last result counts; C_s keeps its charge throughout.
 *
 * @param channels - 2 … 64 of {voltage V, sourceResistance Ω, pinCapacitance F, sampleTime s}; not modified
 * @param order - indices of the channels in the order of conversion, each once; as listed if absent; not modified
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param holdTime - from the end of a sample time to the start of the next, s, from 0; 0 if absent
 * @param period - start to start of the scan, s, at least the time of its conversions; if absent every pin has settled
 * @param dummy - conversions left out after each change of channel, 0 … 16; true is one; none if absent
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

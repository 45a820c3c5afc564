/**
 * The pin of a worksheet: what its capacitance does, what leakage and the sampling capacitor draw through the source, and the
 * waveform of one conversion. All at the place of the range where settling is worst, unless said otherwise.
 */
import { burstError } from '../chain/sampling/burst.ts';
import { equivalentInputImpedance, kick, leakageError, meanDroop } from '../chain/sampling/estimates.ts';
import { type PinCapacitanceWindows, pinCapacitanceWindows } from '../chain/sampling/pinCapacitance.ts';
import { burstThermalNoise } from '../chain/sampling/thermalNoise.ts';
import { wakeDelay, wakeError } from '../chain/sampling/wake.ts';
import { conversionWaveform, type Waveform } from '../chain/sampling/waveform.ts';
import { leakageCurrent } from './conditionsOf.ts';
import type { Evaluation } from './evaluation.ts';
import { planOf } from './planOf.ts';
import { networkAt } from './samplingOf.ts';

/** The mean of the burst with another capacitance at the pin, native LSB, without sign. */
export interface PinPoint {
  /** Pin and board together, F. */
  readonly capacitance: number;
  readonly settling: number;
  /** What a pin that was just switched on still lacks; 0 where the source is always on. */
  readonly waking: number;
}

/** The shift that the pin's leakage makes, where over the range it is largest in the measurand. */
export interface LeakageResult {
  /** A, either way. */
  readonly current: number;
  /** In the measurand's unit. */
  readonly at: number;
  /** V */
  readonly voltage: number;
  /** Native LSB. */
  readonly lsb: number;
  /** In the measurand's unit of differences. */
  readonly measurand: number;
  /** Source resistance there, Ω. */
  readonly sourceResistance: number;
  /** Where an uncertainty is wanted: source resistance at which leakage alone takes all of it, Ω. */
  readonly mostSource?: number;
}

/** The pin and what hangs on it. */
export interface PinResult {
  readonly curve: readonly PinPoint[];
  /** Ranges of the capacitance that serve; waking included where the source is switched. */
  readonly windows: PinCapacitanceWindows;
  /** Where the source is switched: from its start to the first conversion, s. */
  readonly wakeTime?: number;
  /** Wake-to-read delay that the pin asks for after power-up of the source, s. */
  readonly wakeDelay: number;
  /** From wake-up to a first conversion that can be trusted: what the worksheet waits, and the pin where its source is switched, s. */
  readonly readDelay: number;
  /** How far the pin jumps as the switch closes, V, without sign. */
  readonly kick: number;
  /** Mean droop of the pin in the steady state, V, without sign; 0 where C_s keeps its charge. */
  readonly droop: number;
  /** R_s·C_p, s. */
  readonly recovery: number;
  /** 1/(f·C_s) at the rate of the burst, Ω; 'none' where C_s keeps its charge and so draws nothing in the steady state. */
  readonly inputImpedance: number | 'none';
  readonly leakage: LeakageResult;
  /** kT/C noise of one conversion, and of the mean of the burst, native LSB rms. */
  readonly thermal: { readonly conversion: number; readonly mean: number };
  /** Of one conversion: which one, and the voltages less the source's. */
  readonly waveform: Waveform & { readonly which: 'first' | 'steady'; readonly times: readonly number[] };
}

/** Wake-to-read delay that the pin asks for after power-up of its source, s. */
export function wakeDelayOf({ worksheet, channel, quantizing, sampling, averaging }: Evaluation): number {
  const { bits, reference } = quantizing;
  const { previousVoltage: _, ...network } = networkAt(worksheet, channel, reference, sampling.worstAt);
  const { sampleTime, interval: period, allowedErrorLsb } = sampling;
  const { ratio } = averaging;
  return wakeDelay({ ...network, sampleTime, period, ratio, allowedErrorLsb, bits, reference });
}

/** Places of the range at which leakage is looked at. */
const places = 9;

/** The shift that leakage makes. */
export function leakageOf({
  worksheet,
  channel,
  quantizing,
}: Pick<Evaluation, 'worksheet' | 'channel' | 'quantizing'>): LeakageResult {
  const wanted = worksheet.inputs.requirement.uncertainty?.value;
  const current = leakageCurrent(worksheet);
  const { low, high } = channel.range;
  const shift = (at: number): LeakageResult => {
    const source = channel.sourceResistance(at);
    const voltage = leakageError({ leakageCurrent: current, sourceResistance: source });
    const lsb = voltage / quantizing.codeBinWidth;
    return { current, at, voltage, lsb, measurand: lsb * channel.perCode(at), sourceResistance: source };
  };
  const shifts = Array.from({ length: places }, (_, i) => shift(low + ((high - low) * i) / (places - 1)));
  const most = shifts.reduce((a, b) => (b.measurand > a.measurand ? b : a));
  if (wanted === undefined || most.measurand === 0) return most;
  return { ...most, mostSource: (most.sourceResistance * wanted) / most.measurand };
}

/** Instants of the waveform, s: close together where the switch closes and opens, even between. */
function instants(sampleTime: number, interval: number, slow: number, fast: number): number[] {
  const short = 12 * slow < sampleTime;
  const end = short ? 12 * slow : Math.min(interval, Math.max(1.7 * sampleTime, 3 * slow));
  const even = Array.from({ length: 121 }, (_, i) => (end * i) / 120);
  const early = Array.from({ length: 32 }, (_, i) => (fast * (i + 1)) / 2);
  return [...new Set([...even, ...early, sampleTime])].filter((t) => t <= end).sort((a, b) => a - b);
}

/** The pin of a worksheet. */
export function pinOf(e: Evaluation): PinResult {
  const { worksheet, channel, quantizing, sampling, averaging } = e;
  const { inputs, profile } = worksheet;
  const { bits, reference, codeBinWidth } = quantizing;
  const { pinCapacitance, ...rest } = networkAt(worksheet, channel, reference, sampling.worstAt);
  const { sampleTime, interval: period, allowedErrorLsb } = sampling;
  const { ratio } = averaging;
  const { previousVoltage, ...source } = { ...rest, sampleTime, period, ratio };
  const { startTime } = planOf(worksheet, channel, quantizing);
  const wakeTime = inputs.conditioning.excitation?.switched ? startTime : undefined;
  const at = (capacitance: number): PinPoint => {
    const with_ = { ...source, pinCapacitance: capacitance };
    const waking = wakeTime === undefined ? 0 : wakeError({ ...with_, wakeTime });
    return {
      capacitance,
      settling: Math.abs(burstError({ ...with_, previousVoltage })) / codeBinWidth,
      waking: Math.abs(waking) / codeBinWidth,
    };
  };
  const windows = pinCapacitanceWindows({
    ...source,
    previousVoltage,
    ...(wakeTime !== undefined && { wakeTime }),
    allowedErrorLsb,
    bits,
    reference,
  });
  const ends = [...(windows.large ?? []), ...(windows.small ?? [])].filter((c) => typeof c === 'number');
  const low = 0.5 * profile.pinCapacitance.value;
  const high = Math.min(1e-3, 5 * Math.max(2e-8, pinCapacitance, ...ends));
  const resets = profile.capacitorStarts === 'previous';
  const voltageStep = previousVoltage - source.sourceVoltage;
  const { sourceResistance, switchResistance, sampleCapacitance } = source;
  const times = instants(
    sampleTime,
    period,
    sourceResistance * (pinCapacitance + sampleCapacitance) + switchResistance * sampleCapacitance,
    switchResistance * sampleCapacitance,
  );
  const { period: _, ratio: __, ...one } = source;
  const drawn = { ...one, pinCapacitance, previousVoltage, ...(resets && { period }), times };
  const { sourceVoltage: ___, ...network } = source;
  const thermal = burstThermalNoise({ ...network, pinCapacitance });
  const delay = wakeDelayOf(e);
  return {
    curve: Array.from({ length: 97 }, (_, i) => at(low * (high / low) ** (i / 96))),
    windows,
    ...(wakeTime !== undefined && { wakeTime }),
    wakeDelay: delay,
    readDelay: wakeTime === undefined ? startTime : Math.max(startTime, delay),
    kick: Math.abs(kick({ voltageStep, sampleCapacitance, pinCapacitance })),
    droop: resets
      ? Math.abs(meanDroop({ voltageStep, sourceResistance, sampleCapacitance, rate: 1 / period }))
      : 0,
    recovery: sourceResistance * pinCapacitance,
    inputImpedance: resets ? equivalentInputImpedance({ rate: 1 / period, sampleCapacitance }) : 'none',
    leakage: leakageOf(e),
    thermal: { conversion: thermal.conversion / codeBinWidth, mean: thermal.mean / codeBinWidth },
    waveform: { which: resets ? 'steady' : 'first', times, ...conversionWaveform(drawn) },
  };
}

/**
 * Fault codes: what a broken or shorted sensor reads, and up to or from which code that is to be believed.
 *
 * In come wiring and the converter's errors; out go limits that every converter within its tolerance keeps, as far as they lie clear of
 * the codes of the range that is wanted.
 */
import type { Evaluation } from '../worksheet/evaluate.ts';

/** One fault, and the codes that tell it. */
export interface FaultCode {
  readonly fault: 'open' | 'short';
  /** What that is for this sensor. */
  readonly meaning: string;
  /** Whether the codes lie at the lower or the upper end. */
  readonly end: 'low' | 'high';
  /** Codes up to this, or from this on; 'none' where they cannot be told from a reading. */
  readonly code: number | 'none';
}

/** Noise that the limits leave room for, standard deviations of a result. */
const sigmas = 6;

/** Voltage at the pin over the reference for each fault; a pin that nothing drives is no known voltage. */
function fractionsOf({ worksheet, quantizing }: Evaluation): Omit<FaultCode & { fraction: number }, 'end' | 'code'>[] {
  const { sensor, conditioning } = worksheet.inputs;
  const { reference } = quantizing;
  const { divider, amplifier, wiring, excitation } = conditioning;
  const through = (volts: number): number =>
    (amplifier ? amplifier.gain * (volts - amplifier.zero.value) : volts) / reference;
  if (divider) {
    const fed = wiring === 'absolute' && excitation?.voltage ? excitation.voltage.value : reference;
    const lead = conditioning.leadResistance?.value ?? 0;
    const fixed = divider.resistor.value;
    const short = (divider.side === 'low' ? lead : fixed) / (lead + fixed);
    return [
      { fault: 'short', meaning: 'sensor shorted', fraction: through(fed * short) },
      {
        fault: 'open',
        meaning: 'sensor or its wire broken',
        fraction: through(divider.side === 'low' ? fed : 0),
      },
    ];
  }
  if (sensor.kind === 'divider') {
    return [
      { fault: 'short', meaning: 'no voltage, or the upper resistor open', fraction: through(0) },
      { fault: 'open', meaning: 'beyond what fits, or the lower resistor open', fraction: 1 },
    ];
  }
  return [];
}

/**
 * Codes that tell a broken or shorted sensor.
 *
 * @param e - evaluation of the worksheet
 * @returns one for each fault that has a known voltage; none for a sensor that drives the pin itself
 */
export function faultCodes(e: Evaluation): FaultCode[] {
  const { worksheet, quantizing, averaging, sampling, channel, reading } = e;
  const { profile } = worksheet;
  const { bits, codeBinWidth, firstTransition } = quantizing;
  const coarser = 2 ** (profile.resolutions[0]!.bits - bits);
  const leak = (profile.leakage.value * sampling.sourceResistance) / codeBinWidth;
  const wanted = [channel.range.low, channel.range.high].map((m) => reading.codeAt(m));
  return fractionsOf(e).map(({ fault, meaning, fraction }) => {
    const code = fraction * 2 ** bits + 0.5 - firstTransition;
    const off =
      (profile.offset.value + profile.inl.value) / coarser +
      profile.gain.value * Math.abs(code) +
      leak +
      sigmas * averaging.rmsErrorLsb;
    const end = fraction < 0.5 ? 'low' : 'high';
    // Away from the end, so that every converter's code of the fault is among them.
    const limit = reading.codeOfMean(end === 'low' ? code + off : code - off);
    const clear = end === 'low' ? limit < Math.min(...wanted) : limit > Math.max(...wanted);
    return { fault, meaning, end, code: clear ? limit : 'none' };
  });
}

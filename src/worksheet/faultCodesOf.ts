/**
 * Codes of a broken sensor: where an open or a short puts the pin, and from which codes on a result cannot be a reading.
 *
 * A sensor that is a resistance leaves the pin to the other half of its divider when it opens, and pulls it to its own side when it
 * is shorted. A battery's divider goes to ground when its upper resistor opens, and beyond the reference when its lower one does. A
 * loop that breaks has no current; a transmitter that is shorted lets the loop's supply decide, as does an open shunt what it stands
 * in: both are taken to reach the reference. The track of a potentiometer leaves the wiper to its other end. Any other sensor that
 * gives a voltage leaves an open pin floating: no code tells that.
 */
import { consecutiveForInterval } from '../chain/watchdog/tripMargins.ts';
import type { Evaluation } from './evaluation.ts';
import { year } from './falseTripsOf.ts';
import { formsOf } from './formsOf.ts';
import type { Worksheet } from './read.ts';
import { type Place, placeAt } from './watchdogOf.ts';

/** One end of the codes, where a fault puts the result. */
export interface FaultEnd {
  readonly end: 'low' | 'high';
  readonly fault:
    | 'open'
    | 'short'
    | 'upper resistor open'
    | 'lower resistor open'
    | 'loop broken'
    | 'transmitter shorted'
    | 'shunt open'
    | 'upper end open'
    | 'lower end open';
  /** Result code of the fault itself, and the one nearest to the readings that it may give within the tolerance. */
  readonly code: number;
  readonly worstCode: number;
  /** Beyond this result code the sensor is broken: at or below it at the low end, at or above it at the high end. */
  readonly limitCode: number;
  /** Where that stands. */
  readonly limit: Place;
  /** Result code at this end of the wanted range, the converter at its worst towards the fault. */
  readonly rangeCode: number;
  /** From the limit to that code, result codes; 0 or less where no code tells the fault from a reading. */
  readonly margin: number;
  /** Fewest results in a row beyond the limit for noise alone to make a false report once in ten years at most; 'none' if no count does. */
  readonly consecutive: number | 'none';
}

/** The codes of a broken sensor. */
export interface FaultCodes {
  /** Low end first; empty where the sensor's faults give no code of their own. */
  readonly ends: readonly FaultEnd[];
  /** Share of full scale that a limit stands from its fault at least. */
  readonly least: number;
}

/** Least distance of a limit from its fault, as a share of full scale: wet contacts and leakage. Common practice, no source. */
const least = 0.02;

/** Voltage at the pin over the reference that each fault gives, before the converter stops. */
function faultsOf({ worksheet, quantizing }: Evaluation): { fault: FaultEnd['fault']; fraction: number }[] {
  const { conditioning, sensor } = worksheet.inputs;
  if (sensor.kind === 'divider') {
    return [
      { fault: 'upper resistor open', fraction: 0 },
      { fault: 'lower resistor open', fraction: 1 },
    ];
  }
  const { divider, amplifier, excitation, wiring } = conditioning;
  const feed = wiring === 'absolute' && excitation?.voltage ? excitation.voltage.value : quantizing.reference;
  const { gain, zero } = amplifier
    ? { gain: amplifier.gain, zero: amplifier.zero.value }
    : { gain: 1, zero: 0 };
  const pin = (volts: number): number =>
    Math.min(1, Math.max(0, (gain * (volts - zero)) / quantizing.reference));
  switch (sensor.kind) {
    case 'currentLoop':
      return [
        { fault: 'loop broken', fraction: pin(0) },
        { fault: 'transmitter shorted', fraction: 1 },
      ];
    case 'shunt':
      return [{ fault: 'shunt open', fraction: 1 }];
    case 'potentiometer':
      return [
        { fault: 'upper end open', fraction: pin(0) },
        { fault: 'lower end open', fraction: pin(feed) },
      ];
  }
  if (divider === undefined) return [];
  const [open, short] = divider.side === 'low' ? [feed, 0] : [0, feed];
  return [
    { fault: 'open', fraction: pin(open) },
    { fault: 'short', fraction: pin(short) },
  ];
}

/** What still drives the pin in a fault, Ω. */
function driveOf({ sensor, conditioning }: Worksheet['inputs']): number {
  if (conditioning.amplifier) return conditioning.amplifier.outputResistance.value;
  if (sensor.kind === 'potentiometer' || sensor.kind === 'currentLoop') return sensor.resistance.value;
  return conditioning.divider?.resistor.value ?? 0;
}

/**
 * The codes of a broken sensor for a worksheet: result codes, margins to the wanted range, and a debounce count.
 *
 * @param e - evaluation of the worksheet
 */
export function faultCodesOf(e: Evaluation): FaultCodes {
  const { worksheet, quantizing, channel, reading, noise, averaging } = e;
  const { profile, inputs } = worksheet;
  const forms = formsOf(e);
  const native = 2 ** quantizing.bits;
  const coarser = 2 ** (profile.resolutions[0]!.bits - quantizing.bits);
  const offset = (profile.offset.value + profile.inl.value) / coarser;
  // Leakage lifts the pin through what still drives it.
  const leakage = (profile.leakage.value * driveOf(inputs) * native) / quantizing.reference;
  const noiseLsb = Math.hypot(
    noise.sources.white / Math.sqrt(averaging.ratio),
    noise.slowLsb(averaging.ratio).source,
  );
  const errorAt = (mean: number): number => offset + Math.abs(mean) * profile.gain.value;
  const { low, high } = channel.range;
  const means = [channel.codeOf(low), channel.codeOf(high)].sort((a, b) => a - b) as [number, number];
  const ends = faultsOf(e).map(({ fault, fraction }): FaultEnd => {
    const isLow = fraction < means[0] / native;
    const towards = isLow ? 1 : -1;
    const top = native - 1;
    const mean = Math.min(top, fraction * native);
    const error = errorAt(mean) + leakage + 6 * noiseLsb;
    const limitMean = mean + towards * Math.max(2 * error, least * native);
    const inner = isLow ? means[0] : means[1];
    const rangeMean = Math.min(top, Math.max(0, inner - towards * errorAt(inner)));
    const limitCode = reading.codeOfMean(limitMean);
    const rangeCode = reading.codeOfMean(rangeMean);
    const distance = towards * (rangeMean - limitMean);
    return {
      end: isLow ? 'low' : 'high',
      fault,
      code: reading.codeOfMean(mean),
      worstCode: reading.codeOfMean(mean + towards * error),
      limitCode,
      limit: placeAt(forms, forms.pin.valueOf(limitMean)),
      rangeCode,
      margin: towards * (rangeCode - limitCode),
      consecutive: consecutiveForInterval({
        interval: 10 * year,
        marginLsb: distance,
        noiseLsb,
        rate: 1 / inputs.requirement.period.value,
      }),
    };
  });
  return { ends: ends.sort((a, b) => Number(a.end === 'high') - Number(b.end === 'high')), least };
}

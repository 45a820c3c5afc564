/**
 * The board as it may really be: the whole chain of a worksheet, with everything that may be off on it.
 *
 * In comes what was evaluated; out go the influences and, for a measurand and the deviation of each, what the firmware would read:
 * it knows the nominal figures only. Noise and quantization come as the averaging leaves them, once.
 */

import type { Sensor } from '../chain/source/sensor.ts';
import { sourceOf } from './boardSource.ts';
import { leakageCurrent, temperatureSpan } from './conditionsOf.ts';
import type { Evaluation } from './evaluation.ts';
import {
  type Deviation,
  type Deviations,
  freedomOf,
  type Influence,
  Influences,
  type Uncounted,
} from './influence.ts';
import { interferenceLsb } from './readingOf.ts';
import { settlingAt } from './samplingOf.ts';
import type { Inputs } from './schema/worksheet.ts';

/** What a board is made from. */
export type BoardBasis = Pick<
  Evaluation,
  'worksheet' | 'sensor' | 'channel' | 'sampling' | 'quantizing' | 'noise' | 'averaging'
>;

/** A board as it may really be. */
export interface Board {
  readonly influences: readonly Influence[];
  /** What counts as exact because the worksheet gives no spread, or no size of it. */
  readonly uncounted: readonly Uncounted[];
  /** What is read at a measurand, in its unit, for deviations in units of the influences' sizes. */
  at(measurand: number): (deviations: Deviations) => number;
}

/** A line of the chain that adds to the code, LSB, or to the reading: its factor at a place, and its deviation. */
interface Added {
  readonly factor: (measurand: number) => number;
  readonly deviation: Deviation;
}

/** The reference's relative deviation: its tolerance, which a calibration sees, and what temperature or use do to it. */
function referenceOf({ worksheet }: BoardBasis, influences: Influences): (d: Deviations) => number {
  const { inputs, profile } = worksheet;
  const { source, voltage } = inputs.converter.reference;
  if (inputs.conditioning.wiring === 'ratiometric') return () => 0;
  const path = 'converter.reference.voltage';
  if (source !== 'internal') {
    // A supply moves with load and age, so a calibration does not hold it.
    if (source === 'supply' && voltage?.spread !== undefined) {
      const size = voltage.spread / voltage.value;
      const off = influences.limits('supply as reference', path, {
        size,
        unit: '1',
        degreesOfFreedom: freedomOf(voltage),
        stays: 'afresh',
      });
      return (d) => size * off(d);
    }
    return influences.spread(
      path,
      voltage,
      'share',
      source === 'supply' ? 'supply as reference' : 'reference',
    );
  }
  const { tolerance, tempco } = profile.internalReference;
  const own = voltage?.spread === undefined ? undefined : voltage.spread / voltage.value;
  const size = own ?? tolerance.value;
  const off = influences.limits('internal reference', 'converter.internalReference.tolerance', {
    size,
    unit: '1',
    degreesOfFreedom: freedomOf(own === undefined ? tolerance : voltage!),
    stays: 'fixed',
  });
  const drift = tempco.value * temperatureSpan(worksheet);
  const warm = influences.limits('temperature of the reference', 'converter.internalReference.tempco', {
    size: drift,
    unit: '1',
    degreesOfFreedom: freedomOf(tempco),
    stays: 'afresh',
  });
  return (d) => size * off(d) + drift * warm(d);
}

/** What the converter adds to the code, native LSB. */
function codeErrors(basis: BoardBasis, influences: Influences): Added[] {
  const { worksheet, channel, sampling, quantizing, averaging, noise } = basis;
  const { inputs, profile } = worksheet;
  const { codeBinWidth, bits } = quantizing;
  const coarser = 2 ** (profile.resolutions[0]!.bits - bits);
  const added: Added[] = [];
  const put = (
    influence: Omit<Influence, 'size' | 'unit' | 'degreesOfFreedom'> & Partial<Influence>,
    lsb: (m: number) => number,
    present: boolean,
  ): void => {
    if (!present) return;
    const whole = { size: (m: number) => Math.abs(lsb(m)), unit: 'LSB', degreesOfFreedom: 'any' as const };
    added.push({ factor: lsb, deviation: influences.add({ ...whole, ...influence }) });
  };
  const limit = (name: string, key: 'offset' | 'inl', stays: Influence['stays']): void => {
    const lsb = profile[key].value / coarser;
    const degreesOfFreedom = freedomOf(profile[key]);
    put(
      { name, path: `converter.${key}`, distribution: 'rectangular', stays, degreesOfFreedom },
      () => lsb,
      lsb > 0,
    );
  };
  limit('offset error', 'offset', 'fixed');
  limit('INL', 'inl', 'places');
  const span = temperatureSpan(worksheet);
  const offsetDrift = ((profile.drift?.offsetPerKelvin?.value ?? 0) * span) / coarser;
  put(
    {
      name: 'offset drift',
      path: 'converter.drift.offsetPerKelvin',
      distribution: 'rectangular',
      stays: 'afresh',
    },
    () => offsetDrift,
    offsetDrift > 0,
  );
  const burst = { sampleTime: sampling.sampleTime, period: sampling.interval, ratio: averaging.ratio };
  put(
    { name: 'settling', path: 'sampling.sampleCycles', distribution: 'rectangular', stays: 'fixed' },
    (measurand) => settlingAt(worksheet, channel, quantizing, { measurand, ...burst }),
    sampling.settlingErrorLsb !== 0,
  );
  const leakage = leakageCurrent(worksheet);
  const leakageLsb = (m: number): number => (leakage * channel.sourceResistance(m)) / codeBinWidth;
  put(
    {
      name: 'leakage',
      path: 'converter.leakage',
      distribution: 'rectangular',
      stays: 'afresh',
      size: () => leakage,
      unit: 'A',
      degreesOfFreedom: freedomOf(profile.leakage),
    },
    leakageLsb,
    leakage > 0,
  );
  const random = (name: string, path: string, lsb: number, degreesOfFreedom: number | 'any' = 'any'): void =>
    put({ name, path, distribution: 'normal', stays: 'afresh', degreesOfFreedom }, () => lsb, lsb > 0);
  const slow = noise.slowLsb(averaging.ratio);
  random('noise and quantization', 'converter.noise', averaging.rmsErrorLsb, freedomOf(profile.noise));
  random('slow noise of the source', 'noise.sourceRms', slow.source);
  random('1/f noise', 'noise.flickerCorner', slow.flicker);
  interferenceLsb(worksheet, codeBinWidth, sampling.interval, averaging.ratio).forEach(({ name, lsb }, i) => {
    const path = `conditioning.interference.${i}.amplitude`;
    const degreesOfFreedom = freedomOf(inputs.conditioning.interference![i]!.amplitude);
    const amplitude = Math.SQRT2 * lsb;
    put({ name, path, distribution: 'arcsine', stays: 'afresh', degreesOfFreedom }, () => amplitude, lsb > 0);
  });
  return added;
}

/** Part of the time for which the excitation is on. */
function excitedPart({ worksheet: { inputs }, averaging }: BoardBasis): number {
  if (!inputs.conditioning.excitation?.switched) return 1;
  const on = averaging.burstTime + (inputs.conditioning.excitation.settle?.value ?? 0);
  return Math.min(1, on / inputs.requirement.period.value);
}

/** The error of a sensor that its data sheet states in the measurand, beside the spreads of its parts; undefined where it states none. */
function ownError(
  input: Inputs['sensor'],
  sensor: Sensor,
): { readonly name: string; readonly path: string; readonly size: (m: number) => number } | undefined {
  const curve = sensor.tolerance;
  switch (input.kind) {
    case 'platinum':
      return curve && { name: 'sensor class', path: 'sensor.class', size: curve };
    case 'die':
      return curve && { name: 'factory points', path: 'sensor.low.temperature', size: curve };
    case 'thermocouple': {
      const path = input.tolerance ? 'sensor.tolerance' : 'sensor.relativeTolerance';
      return curve && { name: 'tolerance of the thermocouple', path, size: curve };
    }
    case 'potentiometer':
      return curve && { name: 'linearity', path: 'sensor.linearity', size: curve };
    case 'currentLoop':
    case 'bridge':
    case 'table': {
      const { tolerance } = input;
      const name = {
        currentLoop: 'transmitter tolerance',
        bridge: 'bridge tolerance',
        table: 'tolerance of the table',
      }[input.kind];
      return tolerance && { name, path: 'sensor.tolerance', size: () => tolerance.value };
    }
    default:
      return undefined;
  }
}

/** Where a worksheet would state that error, and what is off, for the sensors whose data sheets have one. */
const unstated: Partial<Record<Inputs['sensor']['kind'], readonly [path: string, label: string]>> = {
  thermocouple: ['sensor.tolerance', 'thermocouple'],
  potentiometer: ['sensor.linearity', 'linearity of the potentiometer'],
  currentLoop: ['sensor.tolerance', 'transmitter'],
  bridge: ['sensor.tolerance', 'linearity of the bridge'],
  table: ['sensor.tolerance', 'table'],
};

/** What adds to the reading itself, in the measurand's unit of differences. */
function readingErrors(basis: BoardBasis, influences: Influences): Added[] {
  const { worksheet, sensor, channel, sampling, averaging } = basis;
  const { inputs } = worksheet;
  const added: Added[] = [];
  const put = (name: string, path: string, stays: Influence['stays'], size: (m: number) => number): void => {
    const deviation = influences.add({
      name,
      path,
      distribution: 'rectangular',
      size,
      unit: channel.unit,
      degreesOfFreedom: 'any',
      stays,
    });
    added.push({ factor: size, deviation });
  };
  const own = ownError(inputs.sensor, sensor);
  if (own) put(own.name, own.path, 'fixed', own.size);
  const leftOut = own ? undefined : unstated[inputs.sensor.kind];
  if (leftOut) influences.leaveOut(...leftOut);
  const dissipation = 'dissipation' in inputs.sensor ? inputs.sensor.dissipation?.value : undefined;
  if (dissipation !== undefined) {
    const part = excitedPart(basis);
    put('self-heating', 'sensor.dissipation', 'afresh', (m) => {
      const power = channel.excitationCurrent(m) ** 2 * sensor.toElectrical(m);
      return (part * power) / dissipation;
    });
  }
  const lag = (((inputs.noise?.drift?.value ?? 0) / 60) * (averaging.ratio - 1) * sampling.interval) / 2;
  if (lag > 0) put('lag behind the change', 'noise.drift', 'afresh', () => lag);
  return added;
}

/** The board of a worksheet. */
export function boardOf(basis: BoardBasis): Board {
  const { worksheet, sensor, channel, quantizing } = basis;
  const { profile } = worksheet;
  const influences = new Influences();
  const reference = referenceOf(basis, influences);
  const source = sourceOf(basis, influences, reference);
  const gainSize = profile.gain.value;
  const gain = influences.limits('gain error', 'converter.gain', {
    size: gainSize,
    unit: '1',
    degreesOfFreedom: freedomOf(profile.gain),
    stays: 'fixed',
  });
  const gainDriftSize = (profile.drift?.gainPerKelvin?.value ?? 0) * temperatureSpan(worksheet);
  const gainDrift = influences.limits('gain drift', 'converter.drift.gainPerKelvin', {
    size: gainDriftSize,
    unit: '1',
    degreesOfFreedom: 'any',
    stays: 'afresh',
  });
  const inCode = codeErrors(basis, influences);
  const inReading = readingErrors(basis, influences);
  const codes = 2 ** quantizing.bits;
  const toCode = 0.5 - quantizing.firstTransition;
  // What the sensor can be asked: firmware stays at its end.
  const { low, high } = sensor.validRange;
  const ends = [channel.codeOf(low), channel.codeOf(high)];
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  return {
    influences: influences.list,
    uncounted: influences.uncounted,
    at: (measurand) => {
      const fraction = source(measurand);
      const lsb = inCode.map(({ factor }) => factor(measurand));
      const differences = inReading.map(({ factor }) => factor(measurand));
      return (d) => {
        let code = fraction(d) * codes * (1 + gainSize * gain(d) + gainDriftSize * gainDrift(d)) + toCode;
        for (let i = 0; i < lsb.length; i++) code += lsb[i]! * inCode[i]!.deviation(d);
        let reading = channel.measurandOf(Math.min(Math.max(code, least), most));
        for (let i = 0; i < differences.length; i++) {
          reading += differences[i]! * inReading[i]!.deviation(d);
        }
        return reading;
      };
    },
  };
}

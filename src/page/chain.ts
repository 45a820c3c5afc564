/** The chain at the head of every page: eight stages, each with its leading figure and one remark. */
import { formatDeciding, formatNumber, formatQuantity } from '../numbers/format.ts';
import type { Evaluation, RequirementName } from '../worksheet/evaluate.ts';
import { type Watchdog, watchdogOf } from '../worksheet/watchdogOf.ts';
import { entry, type Prose, prose } from './blocks.ts';

/** One stage as drawn and captioned. */
export interface Stage {
  readonly drawing:
    | 'thermistor'
    | 'platinum'
    | 'voltage'
    | 'battery'
    | 'current'
    | 'potentiometer'
    | 'bridge'
    | 'resistive sensor'
    | 'sensor'
    | 'divider'
    | 'battery divider'
    | 'amplifier'
    | 'wire'
    | 'sampling'
    | 'quantizing'
    | 'averaging'
    | 'code'
    | 'reading'
    | 'watchdog';
  readonly name: string;
  readonly figure: Prose;
  readonly note: Prose;
  /** A requirement is missed here. */
  readonly missed?: boolean;
  /** Bits of the digital path that leads here. */
  readonly bits?: number;
  /** The register: its width, the bits in use, and the code it holds. */
  readonly code?: { readonly width: number; readonly bits: number; readonly value: number };
  /** Direction of the curve, code against measurand. */
  readonly falling?: boolean;
}

const drawings = {
  thermistor: 'thermistor',
  platinum: 'platinum',
  linear: 'voltage',
  die: 'voltage',
  divider: 'battery',
  thermocouple: 'voltage',
  shunt: 'current',
  currentLoop: 'current',
  potentiometer: 'potentiometer',
  bridge: 'bridge',
  table: 'sensor',
} as const;

const sourceNames = {
  thermistor: 'thermistor',
  platinum: 'platinum sensor',
  linear: 'linear sensor',
  die: 'sensor on the chip',
  divider: 'battery',
  thermocouple: 'thermocouple',
  shunt: 'shunt',
  currentLoop: 'current loop',
  potentiometer: 'potentiometer',
  bridge: 'bridge',
  table: 'sensor by table',
} as const;

/** The electrical side of a range in print, with the unit said once. */
function electricalWords({ sensor, channel: { range }, worksheet }: Evaluation): string {
  const [low, high] = [sensor.toElectrical(range.low), sensor.toElectrical(range.high)];
  if (sensor.electrical !== 'ratio') {
    return between(low, high, sensor.electrical === 'resistance' ? 'ohm' : 'V');
  }
  if (worksheet.inputs.sensor.kind === 'bridge') return between(low, high, 'V/V');
  return `${formatNumber({ value: low, digits: 3 })}…${formatNumber({ value: high, digits: 3 })}`;
}

/** Two figures with the unit said once: `12.2…5.76 kΩ`. */
function between(a: number, b: number, unit: string): string {
  const [first, second] = [formatQuantity({ value: a, unit }), formatQuantity({ value: b, unit })];
  // Nothing is nothing in any unit.
  if (a === 0) return `0…${second}`;
  const parts = (text: string): [string, string] => {
    const gap = text.lastIndexOf('\u202f');
    return [text.slice(0, gap), text.slice(gap + 1)];
  };
  const [n1, u1] = parts(first);
  const [n2, u2] = parts(second);
  return u1 === u2 ? `${n1}…${n2}\u202f${u2}` : `${first}…${second}`;
}

/** The eight stages of a worksheet's chain. */
export function chainOf(e: Evaluation): Stage[] {
  const { channel, sampling, quantizing, averaging, reading, units, worksheet, sensor } = e;
  const { inputs } = worksheet;
  const { low, high } = channel.range;
  const difference = (value: number): string => formatQuantity({ value, unit: units.difference });
  const measurand = (value: number): string => formatQuantity({ value, unit: units.measurand });
  const missed = (...names: RequirementName[]): boolean =>
    e.requirements.some((r) => names.includes(r.name) && !r.met);
  const required = (name: RequirementName) => e.requirements.find((r) => r.name === name);

  const source: Stage = {
    drawing:
      inputs.sensor.kind === 'table' && sensor.electrical === 'resistance'
        ? 'resistive sensor'
        : drawings[inputs.sensor.kind],
    name: 'source',
    figure:
      inputs.sensor.kind === 'divider' ? prose`${between(low, high, 'V')}` : prose`${electricalWords(e)}`,
    note:
      inputs.sensor.kind === 'divider'
        ? prose`battery`
        : prose`${sourceNames[inputs.sensor.kind]}, ${between(low, high, units.measurand)}`,
  };
  const conditioning: Stage = {
    drawing:
      inputs.sensor.kind === 'divider'
        ? 'battery divider'
        : inputs.conditioning.divider
          ? 'divider'
          : inputs.conditioning.amplifier
            ? 'amplifier'
            : 'wire',
    name:
      inputs.conditioning.divider || inputs.sensor.kind === 'divider'
        ? 'divider'
        : inputs.conditioning.amplifier
          ? 'amplifier'
          : 'conditioning',
    figure: prose`${formatNumber({ value: channel.fraction(low), digits: 3 })}…${formatNumber({ value: channel.fraction(high), digits: 3 })}`,
    note: prose`of the reference, ${inputs.conditioning.wiring}`,
  };
  const settled = Math.abs(sampling.settlingErrorLsb);
  const allowed = formatDeciding({ value: settled, limit: sampling.allowedErrorLsb, unit: 'LSB' });
  const sampled: Stage = {
    drawing: 'sampling',
    name: 'sampling',
    figure: prose`${formatQuantity({ value: sampling.sampleTime, unit: 's' })}`,
    missed: missed('settling'),
    note: missed('settling')
      ? prose`settles to ${allowed.value}, ${allowed.limit} wanted`
      : settled < 0.001
        ? prose`settles to <\u202f0.001\u202fLSB`
        : prose`settles to ${formatQuantity({ value: settled, unit: 'LSB', digits: 2 })}`,
  };
  const quantized: Stage = {
    drawing: 'quantizing',
    name: 'quantizing',
    figure: prose`${formatQuantity({ value: quantizing.bits, unit: 'bit' })}`,
    note: prose`${difference(channel.worst.perCode)} a code at ${measurand(channel.worst.measurand)}`,
  };
  const life = required('batteryLife');
  const short =
    life && !life.met
      ? formatDeciding({ value: life.actual, limit: life.required, unit: life.unit })
      : undefined;
  const averaged: Stage = {
    drawing: 'averaging',
    name: 'averaging',
    bits: quantizing.bits,
    figure: prose`${entry('averaging.ratio')} shift ${entry('averaging.shift')}`,
    missed: missed('period', 'latency', 'batteryLife'),
    note: missed('period', 'latency')
      ? prose`${formatQuantity({ value: averaging.burstTime, unit: 's' })}: too long`
      : short
        ? prose`battery lasts ${short.value}, ${short.limit} wanted`
        : prose`${formatQuantity({ value: averaging.burstTime, unit: 's' })}, ${formatQuantity({ value: averaging.charge, unit: 'C' })}`,
  };
  const middle = (low + high) / 2;
  const value = reading.codeAt(middle);
  const code: Stage = {
    drawing: 'code',
    name: 'code',
    bits: averaging.resultBits,
    code: {
      width: Math.max(averaging.registerBits, averaging.resultBits),
      bits: averaging.resultBits,
      value,
    },
    figure: prose`0…${formatNumber({ value: averaging.largestCode, digits: 12 })}`,
    missed: missed('overflow'),
    note: missed('overflow')
      ? prose`needs ${averaging.resultBits.toString()} bits, has ${averaging.registerBits.toString()}`
      : prose`${averaging.resultBits.toString()} of ${averaging.registerBits.toString()} bits; ${formatNumber({ value, digits: 12 })} at ${measurand(middle)}`,
  };
  const resolution = required('resolution');
  const step = required('step');
  const wide =
    step && !step.met
      ? formatDeciding({ value: step.actual, limit: step.required, unit: step.unit })
      : undefined;
  const noisy =
    resolution && !resolution.met
      ? formatDeciding({ value: resolution.actual, limit: resolution.required, unit: resolution.unit })
      : undefined;
  const uncertain = required('uncertainty');
  const off =
    uncertain && !uncertain.met
      ? formatDeciding({ value: uncertain.actual, limit: uncertain.required, unit: uncertain.unit })
      : undefined;
  const read: Stage = {
    drawing: 'reading',
    name: 'reading',
    falling: channel.falling,
    figure: prose`${noisy?.value ?? difference(reading.rms)}`,
    missed: missed('resolution', 'step', 'uncertainty'),
    note: noisy
      ? prose`rms at worst, ${noisy.limit} wanted`
      : wide
        ? prose`${wide.value} a step, ${wide.limit} wanted`
        : off
          ? prose`rms; off by ${off.value}, ${off.limit} wanted`
          : resolution
            ? prose`rms at worst, of ${difference(resolution.required)} wanted`
            : prose`rms at worst`,
  };
  return [source, conditioning, sampled, quantized, averaged, code, read, watchdogStage(e)];
}

/** The last stage: the limits that the worksheet sets, and from where on the first converter within its tolerance may trip. */
function watchdogStage(e: Evaluation): Stage {
  const { watchdog } = e.worksheet.inputs;
  const limits = [
    ...(watchdog?.below ? [`<\u202f${limitText(watchdog.below.text)}`] : []),
    ...(watchdog?.above ? [`>\u202f${limitText(watchdog.above.text)}`] : []),
  ];
  const found = watchdogOf(e);
  return {
    drawing: 'watchdog',
    name: 'watchdog',
    figure: prose`${limits.length > 0 ? limits.join(', ') : 'not set'}`,
    missed: found?.refused !== undefined,
    note: prose`${found ? tripWords(e, found) : 'no limits given'}`,
  };
}

/** From where on it may trip; of a window how wide each zone is. */
function tripWords({ units }: Evaluation, { refused, thresholds }: Watchdog): string {
  if (refused !== undefined) return 'no code does this';
  const [first, ...others] = thresholds.map(({ startsAt, surelyAt }) => ({ from: startsAt, to: surelyAt }));
  const written = (value: number, unit: string): string => formatQuantity({ value, unit, digits: 4 });
  if (others.length === 0) {
    const { measurand, volts } = first!.from;
    return `may trip from ${measurand === 'none' ? written(volts, 'V') : written(measurand, units.measurand)}`;
  }
  const widths = [first!, ...others].map(({ from, to }) =>
    from.measurand === 'none' || to.measurand === 'none'
      ? formatQuantity({ value: Math.abs(to.volts - from.volts), unit: 'V', digits: 2 })
      : formatQuantity({ value: Math.abs(to.measurand - from.measurand), unit: units.difference, digits: 2 }),
  );
  return `zones of ${widths.join(' and ')}`;
}

/** A limit as the worksheet writes it, with print's signs. */
const limitText = (text: string): string =>
  text
    .replace(/ ?degC/, '\u202f°C')
    .replace(' ', '\u202f')
    .replace('-', '−');

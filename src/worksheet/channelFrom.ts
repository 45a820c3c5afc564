/**
 * From the worksheet's sensor and conditioning to the channel that computes, and to how its codes are made.
 */
import { codeBinWidth } from '../chain/quantizing.ts';
import { channel, codeWidths } from '../chain/reading/channel.ts';
import type { Sensor } from '../chain/source/sensor.ts';
import { measurandUnitsOf } from './amount.ts';
import type { ChannelResult, QuantizingResult } from './evaluation.ts';
import type { Worksheet } from './read.ts';
import { potentiometerFrom } from './sensors.ts';

/** How one code is made. */
export function quantizingOf({ inputs, profile }: Worksheet): QuantizingResult {
  const { converter, sampling } = inputs;
  const bits = sampling.bits.value;
  const reference = (converter.reference.voltage ?? profile.internalReference.voltage).value;
  // The noise is a voltage: at a coarser resolution it is fewer LSB.
  const coarser = profile.resolutions[0]!.bits - bits;
  return {
    bits,
    reference,
    codeBinWidth: codeBinWidth({ bits, reference }),
    firstTransition: profile.firstTransition,
    noiseLsb: profile.noise.value / 2 ** coarser,
  };
}

/** Resistance behind the output of a sensor that gives a voltage or a ratio, Ω; 0 for the others, whose divider tells. */
function outputResistanceOf({ sensor }: Worksheet['inputs']): number | ((measurand: number) => number) {
  switch (sensor.kind) {
    case 'linear':
    case 'die':
    case 'thermocouple':
      return sensor.outputResistance.value;
    case 'table':
      return sensor.outputResistance?.value ?? 0;
    case 'shunt':
    case 'currentLoop':
    case 'bridge':
      return sensor.resistance.value;
    case 'potentiometer':
      return potentiometerFrom(sensor).theveninResistance;
    case 'divider':
      return 1 / (1 / sensor.top.value + 1 / sensor.bottom.value);
    default:
      return 0;
  }
}

/** The channel, with the fixed resistor of its divider replaced where one is given. */
export function channelFrom(
  { inputs }: Worksheet,
  sensor: Sensor,
  { bits, reference, firstTransition }: QuantizingResult,
  resistor?: number,
): ChannelResult {
  const { divider, excitation, leadResistance, amplifier, seriesResistor, wiring } = inputs.conditioning;
  const of = channel({
    sensor,
    ...(divider && {
      divider: {
        resistor: resistor ?? divider.resistor.value,
        side: divider.side,
        leadResistance: leadResistance?.value ?? 0,
      },
    }),
    ...(wiring === 'absolute' && excitation?.voltage && { excitation: excitation.voltage.value }),
    ...(inputs.sensor.kind === 'potentiometer' || inputs.sensor.kind === 'bridge'
      ? { load: inputs.sensor.resistance.value }
      : {}),
    outputResistance: outputResistanceOf(inputs),
    ...(amplifier && {
      amplifier: {
        gain: amplifier.gain,
        zero: amplifier.zero.value,
        outputResistance: amplifier.outputResistance.value,
      },
    }),
    seriesResistor: seriesResistor?.value ?? 0,
    reference,
    bits,
    firstTransition,
  });
  const { low, high } = inputs.requirement.range;
  const range = { low: low.value, high: high.value };
  return {
    ...of,
    unit: measurandUnitsOf(inputs.sensor).difference,
    range,
    ...codeWidths(of, range.low, range.high),
    // Along the range the sensor's resistance only rises or only falls, and with it the current.
    largestExcitationCurrent: Math.max(of.excitationCurrent(range.low), of.excitationCurrent(range.high)),
  };
}

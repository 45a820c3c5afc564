/** Findings about the source: its sensor, and what it needs around it. */
import { formatDeciding, formatNumber, formatQuantity } from '../numbers/format.ts';
import type { Evaluated, NamedFinding } from './evaluation.ts';
import { sourceCurrent } from './phasesOf.ts';
import { thermocoupleFrom } from './sensors.ts';

/** Codes that a range should span at least, ahead of averaging; fewer ask for an amplifier. Common practice, no source. */
const fewCodes = 256;

/** A range that spans few codes. */
function narrow(e: Evaluated): NamedFinding[] {
  const { channel, quantizing, worksheet } = e;
  const { low, high } = channel.range;
  const codes = Math.abs(channel.codeOf(high) - channel.codeOf(low));
  if (codes >= fewCodes || worksheet.inputs.conditioning.amplifier || e.sensor.electrical === 'resistance')
    return [];
  const all = formatNumber({ value: 2 ** quantizing.bits, digits: 12 });
  return [
    {
      name: 'finding.narrowRange',
      kind: 'caution',
      stage: 'conditioning',
      path: 'requirement.range.high',
      text: `The whole range spans ${formatNumber({ value: codes })} of ${all} codes: an amplifier ahead of the pin would spread it.`,
    },
  ];
}

/** What a thermocouple's reading takes for granted. */
function coldJunction({ worksheet: { inputs }, channel }: Evaluated): NamedFinding[] {
  const { sensor } = inputs;
  if (sensor.kind !== 'thermocouple') return [];
  const thermocouple = thermocoupleFrom(sensor);
  const { low, high } = channel.range;
  const perKelvin = Math.max(...[low, high].map((m) => Math.abs(thermocouple.coldJunctionSensitivity(m))));
  const at = formatQuantity({ value: sensor.coldJunction.value, unit: 'degC' });
  return [
    {
      name: 'finding.coldJunction',
      kind: 'note',
      stage: 'source',
      path: 'sensor.coldJunction',
      text: `Readings hold for a cold junction at ${at}; each kelvin that it is off moves them by up to ${formatQuantity({ value: perKelvin, unit: 'K' })}. Where it moves, firmware measures it and adds its voltage first.`,
    },
  ];
}

/** Heat in the resistor that a current flows through. */
function heat({ worksheet: { inputs }, sensor, channel }: Evaluated): NamedFinding[] {
  const { sensor: input } = inputs;
  if (input.kind !== 'shunt' && input.kind !== 'currentLoop') return [];
  const { low, high } = channel.range;
  const volts = Math.max(...[low, high].map((m) => Math.abs(sensor.toElectrical(m))));
  const power = formatQuantity({ value: volts ** 2 / input.resistance.value, unit: 'W' });
  const drop = formatQuantity({ value: volts, unit: 'V' });
  return [
    {
      name: 'finding.resistorHeat',
      kind: 'note',
      stage: 'source',
      path: 'sensor.resistance',
      text: `The ${input.kind === 'shunt' ? 'shunt' : 'loop resistor'} takes ${drop} of its circuit and turns up to ${power} into heat, which comes from there and is not in the charge of a reading.`,
    },
  ];
}

/** A voltage divider that draws more than the worksheet allows it. */
function overdrawn({ worksheet, channel }: Evaluated): NamedFinding[] {
  const { sensor } = worksheet.inputs;
  const allowed = sensor.kind === 'divider' ? sensor.allowedCurrent?.value : undefined;
  const current = sourceCurrent(worksheet, channel);
  if (allowed === undefined || current <= allowed * (1 + 1e-9)) return [];
  const { value, limit } = formatDeciding({ value: current, limit: allowed, unit: 'A' });
  return [
    {
      name: 'finding.dividerCurrent',
      kind: 'caution',
      stage: 'source',
      path: 'sensor.top',
      text: `The two resistors draw ${value} while they are connected; ${limit} is allowed.`,
    },
  ];
}

/** A table that ends where the range does: errors beyond it cannot be told. */
function tableEnds({ worksheet: { inputs }, sensor, channel, units }: Evaluated): NamedFinding[] {
  if (inputs.sensor.kind !== 'table') return [];
  return (['low', 'high'] as const).flatMap((end): NamedFinding[] => {
    if (channel.range[end] !== sensor.validRange[end]) return [];
    return [
      {
        name: `finding.tableEnd.${end}`,
        kind: 'caution',
        stage: 'source',
        path: 'sensor.points',
        text: `The table ends at ${formatQuantity({ value: sensor.validRange[end], unit: units.measurand })}, where the range does: errors that carry a reading beyond it are not counted. Add a point beyond.`,
      },
    ];
  });
}

/** All of them. */
export const sourceFindings = (e: Evaluated): NamedFinding[] =>
  [narrow, coldJunction, heat, overdrawn, tableEnds].flatMap((f) => f(e));

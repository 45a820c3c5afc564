/** The sampling network of a worksheet: its inputs, and how little may be missing. */
import { formatQuantity } from '../../numbers/format.ts';
import * as b from '../blocks.ts';
import { action, entry, onScreen, paragraph, prose, type Section } from '../blocks.ts';
import { lsb } from './settling.ts';
import { number, type Told } from './told.ts';

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });

/** The inputs of the network: source, pin, switch, sampling capacitor, and what is allowed. */
export function network({ e, measurand, time }: Told): Section {
  const { sampling, averaging, worksheet } = e;
  const { inputs, profile } = worksheet;
  const { sensor, conditioning } = inputs;
  const parts: [string, string][] = [
    ...(sensor.kind === 'divider'
      ? ([
          ['upper resistor', 'sensor.top'],
          ['lower resistor', 'sensor.bottom'],
        ] as [string, string][])
      : []),
    ...(conditioning.divider
      ? [['divider resistor', 'conditioning.divider.resistor'] as [string, string]]
      : []),
    ...(conditioning.seriesResistor
      ? [['series resistor', 'conditioning.seriesResistor'] as [string, string]]
      : []),
    ...(conditioning.capacitor
      ? [['capacitor at the pin', 'conditioning.capacitor'] as [string, string]]
      : []),
    ['the pin itself', 'converter.pinCapacitance'],
    ['switch', 'converter.switchResistance'],
    ['sampling capacitor', 'converter.sampleCapacitance'],
    ['it starts from', 'converter.previousVoltage'],
    ['clock divider', 'sampling.clockDivider'],
    ['sample time', 'sampling.sampleCycles'],
    ['oversampling ratio', 'averaging.ratio'],
  ];
  const before =
    profile.capacitorStarts === 'previous'
      ? 'is put back to its start before every conversion'
      : 'starts there before the first conversion and then keeps its charge';
  const allowed = inputs.requirement.settling
    ? prose`Allowed are ${entry('requirement.settling')} of the result`
    : prose`Allowed is a quarter of a result code, as the worksheet does not say${onScreen(prose` (${action('allow one', { 'requirement.settling': '1 LSB' })})`)}`;
  return {
    claim: `The pin sees ${ohms(sampling.sourceResistance)} at worst.`,
    body: [
      paragraph(
        prose`Two resistors seen from the pin stand side by side: it is their parallel value that counts, not either of them. The sampling capacitor ${before}; settling is worst at ${measurand(sampling.worstAt)}. ${allowed}: ${lsb(sampling.allowedErrorLsb)} of one conversion, since a result code is ${number(averaging.resultLsb)}\u202fLSB.`,
      ),
      b.inputs(parts.map(([what, path]) => ({ what, value: prose`${entry(path)}` }))),
    ],
    margin: [
      paragraph(
        prose`The converter’s clock is ${formatQuantity({ value: sampling.clock, unit: 'Hz' })}; a conversion takes ${time(sampling.conversionTime)}, and the next one starts ${time(sampling.interval)} after it.`,
      ),
    ],
  };
}


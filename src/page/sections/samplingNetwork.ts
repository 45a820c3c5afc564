/** The sampling network of a worksheet: its inputs, and how little may be missing. */
import { formatQuantity } from '../../numbers/format.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import * as b from '../blocks.ts';
import { action, entry, onScreen, paragraph, prose, type Section } from '../blocks.ts';
import { lsb } from './settling.ts';
import { number, type Told } from './told.ts';

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });

/** Inputs that make up the network, where the worksheet has them. */
function parts({ worksheet: { inputs } }: Evaluation): [what: string, path: string][] {
  const { sensor, conditioning } = inputs;
  const where = (there: unknown, ...part: [string, string]): [string, string][] => (there ? [part] : []);
  const divided = sensor.kind === 'divider';
  return [
    ...where(divided, 'upper resistor', 'sensor.top'),
    ...where(divided, 'lower resistor', 'sensor.bottom'),
    ...where('outputResistance' in sensor, 'output resistance', 'sensor.outputResistance'),
    ...where(sensor.kind === 'potentiometer', 'track', 'sensor.resistance'),
    ...where(sensor.kind === 'currentLoop', 'loop resistor', 'sensor.resistance'),
    ...where(sensor.kind === 'shunt', 'shunt', 'sensor.resistance'),
    ...where(conditioning.divider, 'divider resistor', 'conditioning.divider.resistor'),
    ...where(conditioning.seriesResistor, 'series resistor', 'conditioning.seriesResistor'),
    ...where(conditioning.capacitor, 'capacitor at the pin', 'conditioning.capacitor'),
    ['the pin itself', 'converter.pinCapacitance'],
    ['switch', 'converter.switchResistance'],
    ['sampling capacitor', 'converter.sampleCapacitance'],
    ['it starts from', 'converter.previousVoltage'],
    ['clock divider', 'sampling.clockDivider'],
    ['sample time', 'sampling.sampleCycles'],
    ['oversampling ratio', 'averaging.ratio'],
  ];
}

/** What makes up the resistance that the pin sees. */
function seen({ worksheet: { inputs } }: Evaluation): string {
  const { amplifier, divider, seriesResistor } = inputs.conditioning;
  if (amplifier) return 'The amplifier drives the pin. ';
  const series = seriesResistor ? ', and the series resistor adds to it' : '';
  if (inputs.sensor.kind === 'divider')
    return `Its two resistors stand side by side as the pin sees them: their parallel value counts${series}. `;
  if (inputs.sensor.kind === 'potentiometer')
    return `The pin sees both parts of the track side by side: nothing at the ends, a quarter of the track in the middle${series}. `;
  if (divider)
    return `Sensor and divider resistor stand side by side as the pin sees them: their parallel value counts${series}. `;
  return '';
}

/** The network with its inputs, and how little may be missing. */
export function samplingNetwork({ e, measurand, time }: Told): Section {
  const { sampling, averaging, worksheet } = e;
  const resets = worksheet.profile.capacitorStarts === 'previous';
  const other = action(resets ? 'what if it kept its charge?' : 'what if it were put back each time?', {
    'converter.capacitorStarts': resets ? 'own' : 'previous',
  });
  const before = resets
    ? 'starts anew before every conversion'
    : 'starts anew before the first conversion only and then keeps its charge';
  const allowed = worksheet.inputs.requirement.settling
    ? prose`Of a result code ${entry('requirement.settling')} may be missing`
    : prose`A quarter of a result code may be missing, as the worksheet does not say${onScreen(prose` (${action('allow one', { 'requirement.settling': '1 LSB' })})`)}`;
  return {
    claim: `The pin sees ${ohms(sampling.sourceResistance)} at worst.`,
    body: [
      paragraph(
        prose`${seen(e)}The sampling capacitor ${before}${onScreen(prose` (${other})`)}; settling is worst at ${measurand(sampling.worstAt)}.`,
      ),
      paragraph(
        prose`${allowed}: ${lsb(sampling.allowedErrorLsb)} of one conversion, since a result code is worth ${number(averaging.resultLsb)}\u202fLSB.`,
      ),
      b.inputs(parts(e).map(([what, path]) => ({ what, value: prose`${entry(path)}` }))),
    ],
    margin: [
      paragraph(
        prose`The converter’s clock is ${formatQuantity({ value: sampling.clock, unit: 'Hz' })}. A conversion takes ${time(sampling.conversionTime)}, and they start every ${time(sampling.interval)}.`,
      ),
    ],
  };
}

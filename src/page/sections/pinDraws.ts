/** What the pin draws through its source, and how long after waking a conversion can be trusted. */
import { formatQuantity } from '../../numbers/format.ts';
import { boardTemperatures } from '../../worksheet/conditionsOf.ts';
import type { PinResult } from '../../worksheet/pinOf.ts';
import type { SampleTimes } from '../../worksheet/sampleTimesOf.ts';
import * as b from '../blocks.ts';
import { entry, missed, paragraph, prose, type Section } from '../blocks.ts';
import { lsb } from './settling.ts';
import type { Told } from './told.ts';

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });
const volts = (value: number): string => formatQuantity({ value, unit: 'V' });

/** When the first conversion can be trusted. */
export function firstConversion({ e, time }: Told, { chosen }: SampleTimes, pin: PinResult): Section {
  const { inputs } = e.worksheet;
  const { discard } = chosen;
  const drop =
    discard === 0
      ? 'no conversion need be left out'
      : discard === 'none'
        ? 'leaving out conversions does not help'
        : `leave out ${discard === 1 ? 'the first conversion' : `the first ${discard} conversions`}`;
  const late = pin.wakeTime !== undefined && pin.wakeDelay > pin.wakeTime;
  return {
    claim: `Read ${time(pin.readDelay)} after waking; ${drop}.`,
    body: [
      b.inputs([
        { what: 'converter start', value: prose`${entry('converter.times.converterStart')}` },
        ...(inputs.converter.reference.source === 'internal'
          ? [{ what: 'internal reference', value: prose`${entry('converter.internalReference.startup')}` }]
          : []),
        ...(inputs.conditioning.excitation?.settle
          ? [{ what: 'wait after switching on', value: prose`${entry('conditioning.excitation.settle')}` }]
          : []),
        {
          what: 'the pin, from 0 V',
          value: prose`${pin.wakeDelay === 0 ? 'none' : time(pin.wakeDelay)}`,
          from: pin.wakeTime === undefined ? 'once, the source stays on' : 'each time it is switched on',
        },
      ]),
      ...(late
        ? [
            paragraph(
              prose`${missed('')}The pin needs ${time(pin.wakeDelay)} and is given ${time(pin.wakeTime!)}.`,
            ),
          ]
        : []),
    ],
    margin: [
      paragraph(
        prose`They run side by side: the longest counts. The same delay serves after a change of reference.`,
      ),
    ],
  };
}

/** What the pin draws through the source, and the noise that comes with sampling. */
export function pinDraws(t: Told, pin: PinResult): Section {
  const { e, difference, measurand } = t;
  const { leakage, thermal } = pin;
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  const over = wanted !== undefined && leakage.measurand > wanted;
  const most = leakage.mostSource;
  const none = 'the capacitor keeps its charge';
  return {
    claim: `Leakage moves the pin by up to ${volts(leakage.voltage)}: ${difference(leakage.measurand)} in the reading.`,
    body: [
      paragraph(
        prose`That is ${lsb(leakage.lsb)} either way, at worst where the reading is ${measurand(leakage.at)}, with the chip at ${formatQuantity({ value: boardTemperatures(e.worksheet).warmest, unit: 'degC' })}. Leakage doubles about every 10\u202fK, so it can’t be calibrated out at one temperature, and no sample time changes it. ${
          over
            ? prose`${missed('It is more than')} the ${difference(wanted)} wanted for everything together; a source of ${ohms(most!)} would take all of that.`
            : most === undefined
              ? ''
              : `A source of ${ohms(most)} would use up all of the ${difference(wanted!)} wanted.`
        }`,
      ),
      b.inputs([
        { what: 'leakage of the pin', value: prose`${entry('converter.leakage')}` },
        {
          what: 'mean droop of the pin',
          value: prose`${pin.droop === 0 ? 'none' : volts(pin.droop)}`,
          from:
            pin.droop === 0 ? none : 'what every conversion takes through the source; averaging leaves it',
        },
        {
          what: 'the pin looks like',
          value: prose`${pin.inputImpedance === 'none' ? 'open' : ohms(pin.inputImpedance)}`,
          from:
            pin.inputImpedance === 'none'
              ? none
              : 'the resistor that would draw as much while the burst runs',
        },
        {
          what: 'thermal noise, rms',
          value: prose`${lsb(thermal.conversion, 2)}`,
          from: `of the capacitor, whatever the source; ${lsb(thermal.mean, 2)} on the mean; part of the noise measured`,
        },
      ]),
    ],
    margin: [
      b.working({
        result: `${volts(leakage.voltage)} of leakage`,
        steps: [
          { formula: 'ΔV = I R_s' },
          {
            formula: 'I R',
            with: {
              I: formatQuantity({ value: leakage.current, unit: 'A' }),
              R: ohms(leakage.sourceResistance),
            },
          },
          prose`Mean droop, the resistor that draws as much, and thermal noise:`,
          { formula: 'ΔV R_s C_s f/(1 + R_s C_s f)' },
          { formula: 'R_in = 1/(f C_s)' },
          { formula: 'u = sqrt(k T/C_s)' },
        ],
        source: 'That leakage doubles every 10 K: common practice, no source.',
      }),
    ],
  };
}

/** Sentences that several pages say of the same worksheet: what is measured, through what, and how finely. */
import { formatDeciding, formatNumber, formatQuantity } from '../../numbers/format.ts';
import { type RequirementResult, requirementWords } from '../../plan/requirements.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { entry, missed, type Prose, prose, symbol } from '../blocks.ts';
import { measurandName } from '../scale.ts';

/** Which requirements the chosen setting misses, and by which figures; empty if none. */
export function missedSentence({ requirements }: Evaluation): Prose {
  const failed = requirements.filter((r) => !r.met);
  if (failed.length === 0) return [];
  const told = failed.map((r) => {
    const { value, limit } = requirementFigures(r);
    return `${requirementWords[r.name]} ${value}, ${limit} wanted`;
  });
  const head =
    failed.length === 1 ? 'One requirement is missed:' : `${failed.length} requirements are missed:`;
  return prose`${missed(head)} ${told.join('; ')}.`;
}

/** A requirement's figure and its limit in print, with the digits that decide; codes in full, nothing as `< 0.001 LSB`. */
export function requirementFigures({ actual, required, unit }: RequirementResult): {
  value: string;
  limit: string;
} {
  if (unit === '1')
    return {
      value: formatNumber({ value: actual, digits: 12 }),
      limit: formatNumber({ value: required, digits: 12 }),
    };
  const figures = formatDeciding({ value: actual, limit: required, unit });
  return unit === 'LSB' && actual < 0.001 ? { ...figures, value: '<\u202f0.001\u202fLSB' } : figures;
}

/** The inputs that are still assumed, each name once. */
export function assumedWords({ assumed }: Evaluation): string {
  const counts = new Map<string, number>();
  for (const { label } of assumed) counts.set(label, (counts.get(label) ?? 0) + 1);
  return [...counts].map(([label, count]) => (count > 1 ? `${label} (${count})` : label)).join(', ');
}

/** The sensor, what stands between it and the pin, and the converter: one paragraph with its inputs. */
export function sourceSentence({ worksheet: { inputs, profile }, quantizing }: Evaluation): Prose {
  const { sensor, conditioning } = inputs;
  const finest = profile.resolutions[0]!.bits;
  const coarser =
    finest === quantizing.bits
      ? ''
      : ` at ${finest} bits, ${formatQuantity({ value: quantizing.noiseLsb, unit: 'LSB' })} at these,`;
  const converter = prose`The converter gives ${entry('sampling.bits')}, and its codes jitter by ${entry('converter.noise')}${coarser} rms on a still input.`;
  const divider =
    conditioning.divider?.side === 'high'
      ? prose`between the excitation and the converter’s pin; ${entry('conditioning.divider.resistor')} leads from the pin to ground`
      : prose`between the converter’s pin and ground; ${entry('conditioning.divider.resistor')} leads from the pin to the ${
          conditioning.wiring === 'ratiometric' ? 'reference' : 'excitation'
        }`;
  const cancels = conditioning.wiring === 'ratiometric' ? ', so the supply cancels out' : '';
  const amplifier = conditioning.amplifier
    ? prose` An amplifier of ${formatNumber({ value: conditioning.amplifier.gain })} times stands before the pin.`
    : '';
  const fed =
    conditioning.wiring === 'ratiometric'
      ? ', fed from the reference, so the supply cancels out'
      : prose`, fed with ${entry('conditioning.excitation.voltage')}`;
  switch (sensor.kind) {
    case 'thermistor':
      if (sensor.r25 === undefined || sensor.beta === undefined) {
        return prose`A thermistor known by its table sits ${divider}${cancels}. ${converter}`;
      }
      return prose`A thermistor of ${entry('sensor.r25')} at 25\u202f°C with ${symbol('β')}\u202f=\u202f${entry('sensor.beta')} sits ${divider}${cancels}. ${converter}`;
    case 'platinum':
      return prose`A platinum sensor of ${entry('sensor.r0')} at 0\u202f°C sits ${divider}${cancels}. ${converter}`;
    case 'linear':
      return prose`A sensor gives ${entry('sensor.voltsAtZero')} at 0\u202f°C and ${entry('sensor.voltsPerDegree')} more for each degree. ${converter}`;
    case 'die':
      return prose`The sensor on the chip is known by the two codes that the factory stored. ${converter}`;
    case 'divider':
      return prose`Two resistors, ${entry('sensor.top')} above and ${entry('sensor.bottom')} below the pin, bring the voltage down. ${converter}`;
    case 'thermocouple':
      return prose`A thermocouple of type ${sensor.type} gives some microvolts for each degree between its hot junction and its cold one, which is taken to be at ${entry('sensor.coldJunction')}.${amplifier} ${converter}`;
    case 'shunt':
      return prose`The current flows through ${entry('sensor.resistance')}, and the voltage across it is read.${amplifier} ${converter}`;
    case 'currentLoop':
      return prose`A transmitter sends ${entry('sensor.low')} to ${entry('sensor.high')} as ${loopCurrents(sensor)}, and ${entry('sensor.resistance')} makes a voltage of the current.${amplifier} ${converter}`;
    case 'potentiometer':
      return prose`The wiper of a potentiometer of ${entry('sensor.resistance')} goes from ${entry('sensor.low')} at ground to ${entry('sensor.high')} at the other end${fed}.${amplifier} ${converter}`;
    case 'bridge':
      return prose`A bridge of ${entry('sensor.resistance')} gives ${entry('sensor.sensitivity')} at ${entry('sensor.fullScale')}${fed}.${amplifier} ${converter}`;
    case 'table':
      return conditioning.divider
        ? prose`A sensor known by ${String(sensor.points.length)} points of its resistance sits ${divider}${cancels}.${amplifier} ${converter}`
        : prose`A sensor known by ${String(sensor.points.length)} points gives a voltage.${amplifier} ${converter}`;
  }
}

/** The currents of a loop in print: `4…20 mA`. */
function loopCurrents({ currentAtLow, currentAtHigh }: LoopCurrents): string {
  const milliamperes = (given: { readonly value: number } | undefined, usual: number): string =>
    formatNumber({ value: given ? given.value * 1000 : usual, digits: 4 });
  return `${milliamperes(currentAtLow, 4)}…${milliamperes(currentAtHigh, 20)}\u202fmA`;
}

type LoopCurrents = Extract<Evaluation['worksheet']['inputs']['sensor'], { kind: 'currentLoop' }>;

/** What is wanted of the reading: one paragraph with its inputs. */
export function wantedSentence({ worksheet: { inputs } }: Evaluation): Prose {
  const { resolution, step } = inputs.requirement;
  const range = prose`from ${entry('requirement.range.low')} to ${entry('requirement.range.high')}, once every ${entry('requirement.period')}`;
  const what = inputs.requirement.measurand ?? measurandName(inputs.sensor);
  if (resolution && step) {
    return prose`The ${what} should be read to ${entry('requirement.resolution')} rms, in steps no wider than ${entry('requirement.step')}, ${range}.`;
  }
  if (resolution)
    return prose`The ${what} should be read to ${entry('requirement.resolution')} rms, ${range}.`;
  if (step)
    return prose`The ${what} should be read in steps no wider than ${entry('requirement.step')}, ${range}.`;
  return prose`The ${what} is read ${range}.`;
}

/** What a watchdog is not. */
export const watchdogCaution =
  'The analog watchdog (digital window comparator) shares reference, clock and silicon with the measurement and is blind while stopped: it is no safety function.';

/** Whether what a divider brings down is a battery's voltage, by the words of the worksheet. */
const measuresCell = ({ sensor, title, requirement }: Evaluation['worksheet']['inputs']): boolean =>
  sensor.kind === 'divider' && /batter|cell|lithium/i.test(`${title} ${requirement.measurand ?? ''}`);

/** The cautions that a worksheet's own circuit calls for. */
export function cautionSentences({ worksheet: { inputs } }: Evaluation): Prose {
  const said = [
    ...(inputs.watchdog ? [watchdogCaution] : []),
    ...(inputs.conditioning.interference?.some((i) => i.frequency.value === 50 || i.frequency.value === 60)
      ? [
          'No computation here makes a circuit near the mains safe: isolation, creepage and fusing follow the local code and a licensed person’s judgement; a bench instrument’s ground can defeat isolation.',
        ]
      : []),
    ...(inputs.power?.battery || measuresCell(inputs)
      ? ['Lithium cells: never short, reverse or charge a primary cell; coin cells are a swallowing hazard.']
      : []),
    'Typical values are not guaranteed, and averaging raises resolution, never accuracy; the data sheet and errata of the real part win over any model.',
  ];
  return prose`${said.join(' ')}`;
}

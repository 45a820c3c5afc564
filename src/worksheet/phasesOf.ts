/**
 * The phases of a reading of a worksheet, and what is drawn between readings: who draws how much, for how long.
 *
 * In come the worksheet, its channel and the burst; out go the phases one after the other, each with its current and time. What
 * has to start is switched on as late as serves, so that everything is ready when the first conversion begins.
 */
import { averageCurrent, batteryLife, type Phase } from '../budget/battery.ts';
import type { BurstCharge } from '../budget/charge.ts';
import type { ChannelResult } from './evaluation.ts';
import type { Worksheet } from './read.ts';

/** What a phase waits for or does; 'own' are those that the worksheet names. */
export type PhaseKind = 'wake' | 'excitation' | 'reference' | 'converter' | 'conversions' | 'own';

/** A phase of a reading. */
export interface ReadingPhase extends Phase {
  readonly kind: PhaseKind;
}

/** Something that draws whether a reading is taken or not. */
export interface Draw {
  readonly name: string;
  /** A */
  readonly current: number;
  /** Whether it draws during a reading too, where the phases do not count it. */
  readonly always: boolean;
  /** Worksheet path of the figure behind it. */
  readonly path: string;
}

/** Whether the core sleeps while conversions run, and while something starts. */
export const coreSleeps = ({ inputs, profile }: Worksheet): boolean =>
  (inputs.sampling.core ?? (profile.averaging.by === 'hardware' ? 'asleep' : 'running')) === 'asleep';

/** Drawn by the core while conversions run, A. */
export const coreCurrent = (worksheet: Worksheet): number =>
  worksheet.profile.currents[coreSleeps(worksheet) ? 'coreAsleep' : 'coreRunning'].value;

/** Largest current over the range that sensor, divider or battery's divider draw while they are on, A; 0 where nothing does. */
export function sourceCurrent({ inputs }: Worksheet, channel: ChannelResult): number {
  const { sensor } = inputs;
  if (sensor.kind !== 'divider') return channel.largestExcitationCurrent;
  return (
    Math.max(Math.abs(channel.range.low), Math.abs(channel.range.high)) /
    (sensor.top.value + sensor.bottom.value)
  );
}

/** What draws that current, as it is called, and the path of its resistance. */
export function sourceLoad({ sensor, conditioning }: Worksheet['inputs']): {
  readonly name: string;
  readonly path: string;
} {
  switch (sensor.kind) {
    case 'potentiometer':
      return { name: 'potentiometer', path: 'sensor.resistance' };
    case 'bridge':
      return { name: 'bridge', path: 'sensor.resistance' };
    case 'divider':
      return { name: 'divider', path: 'sensor.top' };
    default:
      return { name: conditioning.divider ? 'divider' : 'sensor', path: 'conditioning.divider.resistor' };
  }
}

const isSwitched = ({ inputs }: Worksheet): boolean => inputs.conditioning.excitation?.switched === true;

/** The internal reference's current where it is in use, A. */
const referenceCurrent = ({ inputs, profile }: Worksheet): number =>
  inputs.converter.reference.source === 'internal' ? profile.currents.internalReference.value : 0;

/** What is on for the burst besides core and converter, A: a switched sensor or divider, the internal reference. */
export const burstSupplyCurrent = (worksheet: Worksheet, channel: ChannelResult): number =>
  (isSwitched(worksheet) ? sourceCurrent(worksheet, channel) : 0) + referenceCurrent(worksheet);

interface Start {
  readonly kind: PhaseKind;
  readonly name: string;
  readonly time: number;
  readonly current: number;
}

/** What has to start ahead of the first conversion, the slowest first. */
function startsOf(worksheet: Worksheet, channel: ChannelResult): Start[] {
  const { inputs, profile } = worksheet;
  const starts: Start[] = [
    {
      kind: 'converter',
      name: 'converter start',
      time: profile.times.converterStart.value,
      current: profile.currents.converter.value,
    },
  ];
  if (inputs.converter.reference.source === 'internal') {
    starts.push({
      kind: 'reference',
      name: 'reference start',
      time: profile.internalReference.startup.value,
      current: referenceCurrent(worksheet),
    });
  }
  if (isSwitched(worksheet)) {
    starts.push({
      kind: 'excitation',
      name: `${sourceLoad(inputs).name} and pin settle`,
      time: inputs.conditioning.excitation?.settle?.value ?? 0,
      current: sourceCurrent(worksheet, channel),
    });
  }
  return starts.sort((a, b) => b.time - a.time);
}

/** Time ahead of the first conversion, s: whatever of converter, excitation and internal reference takes longest. */
export const startTimeOf = (worksheet: Worksheet, channel: ChannelResult): number =>
  startsOf(worksheet, channel)[0]!.time;

/** The phases of a reading, in order, for its burst of conversions; those that take no time are left out. */
export function phasesOf(worksheet: Worksheet, channel: ChannelResult, burst: BurstCharge): ReadingPhase[] {
  const { inputs, profile } = worksheet;
  const starts = startsOf(worksheet, channel);
  let current = coreCurrent(worksheet);
  const starting = starts.map(({ kind, name, time, current: own }, i): ReadingPhase => {
    current += own;
    return { kind, name, time: time - (starts[i + 1]?.time ?? 0), current };
  });
  const phases: ReadingPhase[] = [
    {
      kind: 'wake',
      name: 'wake',
      time: profile.times.wake.value,
      current: profile.currents.coreRunning.value,
    },
    ...starting,
    {
      kind: 'conversions',
      name: 'conversions',
      time: burst.time,
      current: burst.charge / burst.time,
    },
    ...(inputs.power?.phases ?? []).map(
      (p): ReadingPhase => ({ kind: 'own', name: p.name, time: p.time.value, current: p.current.value }),
    ),
  ];
  return phases.filter((p) => p.time > 0);
}

/** What is drawn between readings: by the sleeping board, and by a sensor or divider that nothing switches. */
export function drawsOf(worksheet: Worksheet, channel: ChannelResult): Draw[] {
  const { inputs, profile } = worksheet;
  const source = isSwitched(worksheet) ? 0 : sourceCurrent(worksheet, channel);
  const load = sourceLoad(inputs);
  return [
    {
      name: 'sleeping board',
      current: profile.currents.sleep.value,
      always: false,
      path: 'converter.currents.sleep',
    },
    ...(source > 0
      ? [
          {
            name: `${load.name}, always on`,
            current: source,
            always: true,
            path: load.path,
          },
        ]
      : []),
  ];
}

/** Time and charge of the phases together, s and C. */
export function totalOf(phases: readonly Phase[]): { readonly time: number; readonly charge: number } {
  let [time, charge] = [0, 0];
  for (const p of phases) {
    time += p.time;
    charge += p.time * p.current;
  }
  return { time, charge };
}

const sumOf = (draws: readonly Draw[]): number => draws.reduce((sum, d) => sum + d.current, 0);

/** Average current of readings a period apart, A; where they take longer than that, of readings without a pause. */
export const averageOf = (phases: readonly Phase[], draws: readonly Draw[], period: number): number =>
  averageCurrent({
    phases: phases.map(({ name, current, time }) => ({ name, current, time })),
    period: Math.max(period, totalOf(phases).time),
    sleepCurrent: sumOf(draws.filter((d) => !d.always)),
  }) + sumOf(draws.filter((d) => d.always));

/** Life of the worksheet's battery under an average current, s; 'none' where no battery is given. */
export function lifeOf({ inputs }: Worksheet, current: number): number | 'any' | 'none' {
  const battery = inputs.power?.battery;
  if (battery === undefined) return 'none';
  return batteryLife({
    capacity: battery.capacity.value,
    usableFraction: battery.usable.value,
    selfDischarge: battery.selfDischarge.value,
    averageCurrent: current,
  });
}

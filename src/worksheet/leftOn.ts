/**
 * Left on: what each thing that firmware forgets to switch off makes of the current between readings and of the battery.
 */
import type { ChannelResult } from './evaluation.ts';
import { type Draw, drawsOf, lifeOf, sourceCurrent, sourceLoad } from './phasesOf.ts';
import type { Worksheet } from './read.ts';

/** One thing left on between readings. */
export interface LeftOn {
  readonly name: string;
  /** What a meter in the supply shows between readings, A. */
  readonly current: number;
  /** s; 'none' where no battery is given, 'any' where nothing empties it. */
  readonly life: number | 'any' | 'none';
  /** As the worksheet has it. */
  readonly present: boolean;
}

/** Everything that may be left on, by rising current, what is meant ahead of all. */
export function leftOnOf(
  worksheet: Worksheet,
  channel: ChannelResult,
  draws: readonly Draw[],
  readingsCurrent: number,
): LeftOn[] {
  const { inputs, profile } = worksheet;
  const { currents } = profile;
  const idle = draws.reduce((sum, d) => sum + d.current, 0);
  const source = sourceCurrent(worksheet, channel);
  const { name } = sourceLoad(inputs);
  const row = (name: string, current: number, present = false): LeftOn => ({
    name,
    current,
    life: lifeOf(worksheet, current + readingsCurrent),
    present,
  });
  const forgotten = [
    row('internal reference left on', idle + currents.internalReference.value),
    row('converter left on', idle + currents.converter.value),
    row('core asleep, its bus clock left on', idle - currents.sleep.value + currents.coreAsleep.value),
    row('core left running', idle - currents.sleep.value + currents.coreRunning.value),
    ...(inputs.conditioning.excitation?.switched && source > 0
      ? [row(`${name} left on`, idle + source)]
      : []),
    ...(drawsOf(worksheet, channel).some((d) => d.always)
      ? [row(`${name} switched off between readings`, idle - source)]
      : []),
  ].sort((a, b) => a.current - b.current);
  return [row('as meant', idle, true), ...forgotten];
}

/**
 * Switching the divider of a worksheet: what it takes each time, from which reading period on it pays, and what the switch may have.
 */
import { type SwitchedDivider, switchedDivider } from '../budget/switchedDivider.ts';
import type { Evaluation } from './evaluation.ts';
import { coreCurrent, sourceCurrent } from './phasesOf.ts';
import { wakeDelayOf } from './pinOf.ts';

/** The divider, always on and switched. */
export interface DividerSwitching extends SwitchedDivider {
  /** Whether the worksheet switches it. */
  readonly present: boolean;
  /** Through the divider while it is on, A. */
  readonly current: number;
  /** From switching it on until it may be read, s. */
  readonly settle: number;
  /** On for a reading, s. */
  readonly onTime: number;
  /** What a reading takes more because of switching: the core that waits, the pin that is charged, C. */
  readonly extraCharge: number;
  /** By how much each ohm of a switch in the divider's supply moves the reading, at most over the range, in the unit of differences. */
  readonly perOhm: number;
}

/** Switching of the divider; nothing where there is none. */
export function switchingOf(e: Evaluation): { readonly switching?: DividerSwitching } {
  const { worksheet, channel, quantizing, sampling, averaging } = e;
  const { inputs, profile } = worksheet;
  const current = sourceCurrent(worksheet, channel);
  if (current === 0) return {};
  const { excitation } = inputs.conditioning;
  const present = excitation?.switched === true;
  const asked = wakeDelayOf(e);
  const settle = Math.max(present ? (excitation?.settle?.value ?? 0) : 0, asked);
  const internal = inputs.converter.reference.source === 'internal';
  const { converterStart } = profile.times;
  // The core waits for the divider only as far as nothing else is starting meanwhile.
  const others = Math.max(converterStart.value, internal ? profile.internalReference.startup.value : 0);
  const waits = Math.max(0, settle - others) * coreCurrent(worksheet);
  const { low, high } = channel.range;
  const fraction = Math.max(channel.fraction(low), channel.fraction(high));
  const pin = sampling.pinCapacitance * fraction * quantizing.reference;
  const onTime = settle + averaging.burstTime;
  const voltage =
    inputs.sensor.kind === 'divider' ? high : (excitation?.voltage?.value ?? quantizing.reference);
  const resistance = voltage / current;
  const { amplifier } = inputs.conditioning;
  const raised = amplifier ? (amplifier.gain * amplifier.zero.value) / quantizing.reference : 0;
  // An ohm more in the divider lowers the pin's voltage in the proportion of that to the whole.
  const perOhm = (measurand: number): number => {
    const through = inputs.sensor.kind === 'divider' ? current : channel.excitationCurrent(measurand);
    // What an amplifier adds for its zero does not fall with the supply of the sensor.
    const part = channel.fraction(measurand) + raised;
    return ((Math.abs(part) * 2 ** quantizing.bits * through) / voltage) * channel.perCode(measurand);
  };
  const both = switchedDivider({
    supply: voltage,
    resistance,
    onTime,
    awakeCurrent: waits / onTime,
    switchCharge: pin,
    period: Math.max(inputs.requirement.period.value, onTime),
  });
  return {
    switching: {
      ...both,
      present,
      current,
      settle,
      onTime,
      extraCharge: waits + pin,
      perOhm: Math.max(...[low, high].map((m) => perOhm(m))),
    },
  };
}

/**
 * The battery of a worksheet under load: its voltage over the board's temperatures, through its internal resistance.
 */
import { boardTemperatures } from './conditionsOf.ts';
import type { Evaluation } from './evaluation.ts';
import { phasesOf } from './phasesOf.ts';
import { supplyOf } from './supplyThrough.ts';

/** The battery under load. */
export interface BatterySag {
  /** Voltage at rest, V. */
  readonly rest: number;
  /** Largest current of a reading, A, and which phase draws it. */
  readonly current: number;
  readonly phase: string;
  /** Least voltage that serves, V: the low end of the range where the channel measures the battery, else the least reference. */
  readonly least: number;
  readonly leastIs: 'range' | 'reference';
  /** Internal resistance at which the load pulls the battery down to that, Ω. */
  readonly mostResistance: number;
  /** Where an internal resistance is given: volts under load over temperature, V over °C. */
  readonly curve?: readonly {
    readonly celsius: number;
    readonly resistance: number;
    readonly volts: number;
  }[];
}

/** Temperatures of the curve where the worksheet gives none, °C. */
const usual = { coldest: -20, warmest: 40 };

/** Internal resistance at a temperature, Ω: straight in its logarithm from 25 °C to the coldest, and no less when warmer. */
function resistanceAt(celsius: number, warm: number, cold: number, coldest: number): number {
  const part = Math.min(1, Math.max(0, (25 - celsius) / (25 - coldest)));
  return warm > 0 && cold > 0 ? warm * (cold / warm) ** part : warm + (cold - warm) * part;
}

/** The battery under the largest load of a reading; undefined where the worksheet has no battery. */
export function batterySagOf({ worksheet, channel, averaging }: Evaluation): BatterySag | undefined {
  const { inputs, profile } = worksheet;
  const battery = inputs.power?.battery;
  if (battery === undefined) return undefined;
  const { burstTime: time, charge } = averaging;
  const load = phasesOf(worksheet, channel, { time, charge }).reduce((a, b) =>
    b.current > a.current ? b : a,
  );
  // A channel that measures the battery says how low that may get; else the reference does.
  const measured = inputs.sensor.kind === 'divider';
  const limit = inputs.watchdog?.below;
  const warned = measured && limit?.unit === 'V' ? limit.value : undefined;
  const rest = battery.openVoltage?.value ?? warned ?? (measured ? channel.range.high : supplyOf(worksheet));
  const least = measured ? channel.range.low : profile.referenceRange.lowest.value;
  const given = battery.internalResistance?.value;
  const board = boardTemperatures(worksheet);
  const { coldest, warmest } = board.coldest === board.warmest ? usual : board;
  const cold = battery.coldResistance?.value ?? given ?? 0;
  const result = {
    rest,
    current: load.current,
    phase: load.name,
    least,
    leastIs: measured ? ('range' as const) : ('reference' as const),
    mostResistance: Math.max(0, rest - least) / load.current,
  };
  if (given === undefined) return result;
  const curve = Array.from({ length: 41 }, (_, i) => {
    const celsius = coldest + ((warmest - coldest) * i) / 40;
    const resistance = coldest < 25 ? resistanceAt(celsius, given, cold, coldest) : given;
    return { celsius, resistance, volts: rest - load.current * resistance };
  });
  return { ...result, curve };
}

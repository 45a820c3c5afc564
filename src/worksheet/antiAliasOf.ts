/**
 * Anti-alias filter of a worksheet: for each capacitor at the pin the largest series resistor that still lets the reading settle,
 * and what the two leave of a disturbance that averaging lets through.
 */
import { lowPassGain } from '../budget/response.ts';
import { burstError } from '../chain/sampling/burst.ts';
import { leakageError } from '../chain/sampling/estimates.ts';
import { wakeError } from '../chain/sampling/wake.ts';
import { seriesValues } from '../numbers/eseries.ts';
import type { Evaluation } from './evaluation.ts';
import { startTimeOf } from './phasesOf.ts';
import { networkAt } from './samplingOf.ts';

/** A resistor and a capacitor ahead of the pin. */
export interface AntiAliasRow {
  /** On the board, F; 0 for none. */
  readonly capacitor: number;
  /** Series resistor, Ω; 0 for none. */
  readonly resistor: number;
  /** With everything that is in series at the largest source resistance of the range: −3 dB, Hz, and time constant, s. */
  readonly corner: number;
  readonly timeConstant: number;
  /** Amplitude left at the rate of conversions, where the mean leaves everything. */
  readonly atRate: number;
  /** Settling of the mean of the burst, and waking where the source is switched, native LSB, without sign. */
  readonly settlingLsb: number;
  /** Largest shift that the pin's leakage makes, in the measurand's unit of differences. */
  readonly leakage: number;
  readonly present: boolean;
}

/** The filters that serve, and the one there is. */
export interface AntiAlias {
  readonly present: AntiAliasRow;
  /** By rising capacitor, those that serve. */
  readonly rows: readonly AntiAliasRow[];
  /** The smallest capacitor that leaves a hundredth at the rate of conversions, else what leaves least; absent where that is no gain. */
  readonly best?: AntiAliasRow;
}

/** The values of E3 over decades of ten. */
const over = (first: number, decades: number): number[] =>
  Array.from({ length: decades }, (_, d) =>
    seriesValues({ series: 'E3' }).map((v) => Number(`${v}e${first + d}`)),
  ).flat();

/** Resistors and capacitors that are tried: none, 100 Ω to 470 kΩ, 100 pF to 4.7 µF. */
const [resistors, capacitors] = [[0, ...over(2, 4)], over(-10, 5)];

/** What is little enough at the rate of conversions, relative. */
const enough = 0.01;

/** Time constants after which a step is settled to 1 %. */
const settled = Math.log(100);

/** The filters of a worksheet's pin. */
export function antiAliasOf(e: Evaluation): AntiAlias {
  const { worksheet, channel, quantizing, sampling, averaging } = e;
  const { inputs, profile } = worksheet;
  const { reference, codeBinWidth } = quantizing;
  const { sampleTime, interval: period, allowedErrorLsb } = sampling;
  const { ratio } = averaging;
  const presentResistor = inputs.conditioning.seriesResistor?.value ?? 0;
  const presentCapacitor = inputs.conditioning.capacitor?.value ?? 0;
  const switched = inputs.conditioning.excitation?.switched === true;
  const wakeTime = startTimeOf(worksheet, channel);
  const { low, high } = channel.range;
  const places = [...new Set([low, sampling.worstAt, high])];
  const { uncertainty, resolution } = inputs.requirement;
  // A reading has to follow from one to the next.
  const mostTime = inputs.requirement.period.value / settled;
  const rowOf = (resistor: number, capacitor: number, present = false): AntiAliasRow => {
    const source = sampling.sourceResistance - presentResistor + resistor;
    const timeConstant = source * (profile.pinCapacitance.value + capacitor);
    const errors = places.map((measurand) => {
      const {
        sourceResistance,
        pinCapacitance: _,
        ...network
      } = networkAt(worksheet, channel, reference, measurand);
      const burst = {
        ...network,
        sourceResistance: sourceResistance - presentResistor + resistor,
        pinCapacitance: profile.pinCapacitance.value + capacitor,
        sampleTime,
        period,
        ratio,
      };
      const { previousVoltage: __, ...waking } = burst;
      const awake = switched ? wakeError({ ...waking, wakeTime }) : 0;
      return (Math.abs(burstError(burst)) + Math.abs(awake)) / codeBinWidth;
    });
    return {
      capacitor,
      resistor,
      timeConstant,
      corner: 1 / (2 * Math.PI * timeConstant),
      atRate: lowPassGain({ frequency: 1 / period, timeConstant }),
      settlingLsb: Math.max(...errors),
      leakage: Math.max(
        ...places.map((m) => {
          const sourceResistance = channel.sourceResistance(m) - presentResistor + resistor;
          const leakageCurrent = profile.leakage.value;
          return (leakageError({ leakageCurrent, sourceResistance }) / codeBinWidth) * channel.perCode(m);
        }),
      ),
      present,
    };
  };
  const present = rowOf(presentResistor, presentCapacitor, true);
  // Leakage may take half of what is wanted, or as much as it does already.
  const mostLeakage = Math.max(present.leakage, ((uncertainty ?? resolution)?.value ?? 0) / 2);
  const serves = (row: AntiAliasRow): boolean =>
    row.settlingLsb <= allowedErrorLsb &&
    row.timeConstant <= mostTime &&
    row.leakage <= mostLeakage * (1 + 1e-9);
  const rows = capacitors.flatMap((capacitor) => {
    const found = resistors.findLast((r) => serves(rowOf(r, capacitor)));
    return found === undefined ? [] : [rowOf(found, capacitor)];
  });
  const best =
    rows.find((r) => r.atRate <= enough) ??
    rows.reduce<AntiAliasRow | undefined>(
      (a, r) => (a === undefined || r.atRate < 0.98 * a.atRate ? r : a),
      undefined,
    );
  return {
    present,
    rows,
    ...(best && (best.atRate < 0.7 * present.atRate || !serves(present)) && { best }),
  };
}

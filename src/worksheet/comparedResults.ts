/** Results by which two worksheets are compared: of every stage its leading figures, by name and unit, from what was evaluated. */
import { chargeOf } from './chargeOf.ts';
import type { Evaluation } from './evaluation.ts';
import { scanOf } from './scanOf.ts';
import { watchdogOf } from './watchdogOf.ts';

/** One figure of an evaluation. */
export interface Result {
  /** Where it is found in what `check --json` gives, or the name of the part that computes it. */
  readonly name: string;
  readonly label: string;
  /** As `formatQuantity` takes it; 'code' for whole codes and counts, '1' for other plain numbers. */
  readonly unit: string;
  readonly value: number | 'none' | 'any';
}

/** The results of an evaluation, in the order of the chain. */
export function resultsOf(e: Evaluation): Result[] {
  const { channel, sampling, quantizing, averaging, reading, uncertainty } = e;
  const { measurand, difference } = e.units;
  const charge = chargeOf(e);
  const scan = scanOf(e);
  const { low, high } = channel.range;
  const largest = (errors: readonly { readonly lsb: number }[]): number =>
    Math.max(...errors.map((c) => Math.abs(c.lsb)));
  const result = (name: string, label: string, unit: string, value: Result['value']): Result => ({
    name,
    label,
    unit,
    value,
  });
  return [
    result('sampling.sourceResistance', 'largest source resistance', 'ohm', sampling.sourceResistance),
    result('sampling.sampleTime', 'sample time', 's', sampling.sampleTime),
    result('sampling.conversionTime', 'time of a conversion', 's', sampling.conversionTime),
    result('sampling.settlingErrorLsb', 'settling error, mean', 'LSB', sampling.settlingErrorLsb),
    result('sampling.minSampleCycles', 'fewest sample cycles that settle', 'code', sampling.minSampleCycles),
    ...(scan ? [result('scan', 'largest crosstalk of the scan', 'LSB', largest(scan.asListed))] : []),
    result('quantizing.codeBinWidth', 'one code of a conversion', 'V', quantizing.codeBinWidth),
    result('channel.worst.perCode', 'the same in the measurand, widest', difference, channel.worst.perCode),
    result('quantizing.noiseLsb', 'transition noise', 'LSB', quantizing.noiseLsb),
    result('averaging.effectiveBits', 'effective bits of the result', '1', averaging.effectiveBits),
    result('averaging.resultBits', 'width of the result, bits', 'code', averaging.resultBits),
    result('averaging.largestCode', 'largest code of the result', 'code', averaging.largestCode),
    result('averaging.burstTime', 'time of a burst', 's', averaging.burstTime),
    result('averaging.latency', 'start of a reading to its result', 's', averaging.latency),
    result('reading.rms', 'scatter of a reading, rms', difference, reading.rms),
    result('reading.step', 'step of a reading, widest', difference, reading.step),
    result('reading.biasMeasurand', 'bias if the shift is forgotten', difference, reading.biasMeasurand),
    result('reading.codeAt.low', 'code at the low end of the range', 'code', reading.codeAt(low)),
    result('reading.codeAt.high', 'code at the high end of the range', 'code', reading.codeAt(high)),
    result('uncertainty', 'expanded uncertainty, 95 %', difference, uncertainty.present.expanded),
    result('uncertainty.at', 'where that is', measurand, uncertainty.present.measurand),
    result('uncertainty.worstCase', 'worst case', difference, uncertainty.present.worstCase),
    ...(watchdogOf(e)?.thresholds ?? []).map((t) =>
      result(`watchdog.${t.register}`, `watchdog code, ${t.register}`, 'code', t.code),
    ),
    result('charge', 'charge of a reading', 'C', charge.charge),
    result('averageCurrent', 'average current', 'A', charge.averageCurrent),
    result('life', 'life of the battery', 's', charge.life),
  ];
}

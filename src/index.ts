/**
 * The public names of the computation, in the order of the chain. SI units and plain numbers; text with units is turned into SI
 * once, by `quantity`.
 */
import './numbers/compound.ts';

// asked of the whole chain
export { averageCurrent, batteryLife, ratioCosts, readingCost } from './budget/battery.ts';
export { calibratedValue, calibration } from './budget/calibration.ts';
export { burstCharge } from './budget/charge.ts';
export { numericalTolerance } from './budget/coverageInterval.ts';
export { filterFigures } from './budget/filter.ts';
export { filteredCodes } from './budget/filteredCodes.ts';
export { beatPeriod, humRejection, nullingWindows } from './budget/hum.ts';
export { monteCarlo, monteCarloRun } from './budget/monteCarlo.ts';
export { correlationOfMeans, meanOfObservations } from './budget/observations.ts';
export { passingFraction } from './budget/passing.ts';
export { propagateUncertainty, sensitivities } from './budget/propagation.ts';
export {
  aliasFrequency,
  aliasMap,
  boxcarNoiseBandwidth,
  chainGain,
  cornerFrequency,
  lowPassGain,
  lowPassNoiseBandwidth,
} from './budget/response.ts';
export { secondOrderUncertainty } from './budget/secondOrder.ts';
export { requirementSensitivities } from './budget/sensitivity.ts';
export { stepTime } from './budget/step.ts';
export { switchedDivider } from './budget/switchedDivider.ts';
export {
  budgetLines,
  type CombinedUncertainty,
  type Contribution,
  combineUncertainty,
  coverageFactor,
} from './budget/uncertainty.ts';
// watchdog
export { detectionDelay } from './chain/watchdog/detectionDelay.ts';
export { falseTripInterval, falseTripRate } from './chain/watchdog/falseTrips.ts';
export { measurandThresholdCodes } from './chain/watchdog/measurandThresholdCodes.ts';
export { type ThresholdCodes, thresholdCodes } from './chain/watchdog/thresholdCodes.ts';
export {
  consecutiveForInterval,
  hysteresisForInterval,
  marginForInterval,
} from './chain/watchdog/tripMargins.ts';
export type { ThresholdCode } from './chain/watchdog/window.ts';

// recorded codes
export { allanDeviation } from './record/allan.ts';
export { allanConfidence, allanFreedom, allanMinimum } from './record/allanConfidence.ts';
export { allanStream } from './record/allanStream.ts';
export { autocorrelation, autocorrelationStream } from './record/autocorrelation.ts';
export { averagedBits, averagedBitsStream } from './record/averagedBits.ts';
export { averagedSpectrum, spectrumStream } from './record/averagedSpectrum.ts';
export { codeDensity, codeDensityRecordLength } from './record/codeDensity.ts';
export { drift } from './record/drift.ts';
export { codeProbabilities, histogramFit } from './record/histogram.ts';
export { humLines } from './record/hum.ts';
export { recordReader } from './record/reader.ts';
export { meanRecordLength, noiseRecordLength, spectrumSegments } from './record/recordLength.ts';
export { effectiveBitsFromResidual, sineFit } from './record/sineFit.ts';
export { spectrum } from './record/spectrum.ts';
export { summarizeCodes, summaryOfSums, summaryStream } from './record/summary.ts';
export { addedSums, codeSums } from './record/sums.ts';
export { tone } from './record/tone.ts';
export { transitionNoise } from './record/transitionNoise.ts';

// a worksheet
export { type Evaluation, evaluate } from './worksheet/evaluate.ts';
export { WorksheetError } from './worksheet/problem.ts';
export { readProfile } from './worksheet/profile.ts';
export { readWorksheet, type Worksheet } from './worksheet/read.ts';

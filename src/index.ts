/**
 * The public names of the computation, in the order of the chain. SI units and plain numbers; text with units is turned into SI
 * once, by `quantity`.
 */
import './numbers/compound.ts';

// numbers
export { QuantityError, quantity, spread } from './numbers/quantity.ts';
export {
  asciiQuantity,
  formatDeciding,
  formatFixed,
  formatNumber,
  formatQuantity,
} from './numbers/format.ts';
export { nearestInSeries, seriesValues, stepSeries } from './numbers/eseries.ts';
export { seededRandom } from './numbers/random.ts';

// source
export type { Sensor } from './chain/source/sensor.ts';
export { thermistor } from './chain/source/thermistor.ts';
export { platinum } from './chain/source/platinum.ts';
export { thermocouple } from './chain/source/thermocouple.ts';
export { linearSensor } from './chain/source/linearSensor.ts';
export { dieSensor } from './chain/source/dieSensor.ts';
export { divider } from './chain/source/divider.ts';
export { potentiometer } from './chain/source/potentiometer.ts';
export { currentLoop } from './chain/source/currentLoop.ts';
export { shunt } from './chain/source/shunt.ts';
export { bridge } from './chain/source/bridge.ts';
export { table } from './chain/source/table.ts';

// conditioning
export { type SensorDivider, sensorDivider } from './chain/conditioning/sensorDivider.ts';
export { bestDividerResistor } from './chain/conditioning/bestDividerResistor.ts';
export { type DividerPair, type DividerPairs, dividerPairs } from './chain/conditioning/dividerPairs.ts';
export { amplifier } from './chain/conditioning/amplifier.ts';
export { ditherResistor, ditherSpan } from './chain/conditioning/ditherSource.ts';

// sampling
export { type Settled, settle } from './chain/sampling/settle.ts';
export { burstError } from './chain/sampling/burst.ts';
export { maxSourceResistance, minSampleTime } from './chain/sampling/sampleTime.ts';
export { type PinCapacitanceWindows, pinCapacitanceWindows } from './chain/sampling/pinCapacitance.ts';
export { type Waveform, conversionWaveform } from './chain/sampling/waveform.ts';
export { wakeDelay, wakeError } from './chain/sampling/wake.ts';
export {
  equivalentInputImpedance,
  kick,
  leakageError,
  meanDroop,
  settlingTimeConstants,
} from './chain/sampling/estimates.ts';
export { burstThermalNoise, thermalNoise } from './chain/sampling/thermalNoise.ts';
export { crosstalk } from './chain/sampling/crosstalk.ts';
export { bestScanOrder } from './chain/sampling/scanOrder.ts';
export { conversionTime, outputRate } from './chain/sampling/timing.ts';
export { triggerRate } from './chain/sampling/triggerRate.ts';

// quantizing
export {
  codeBinWidth,
  codeFromVoltage,
  commonModeWindow,
  differentialBinWidth,
  differentialCodeFromVoltage,
  differentialVoltageFromCode,
  effectiveBitsFromSinad,
  idealSnrDb,
  voltageFromCode,
} from './chain/quantizing.ts';

// averaging
export {
  type Oversampled,
  type OversampledSetting,
  oversample,
  oversampleTable,
} from './chain/averaging/oversample.ts';
export { accumulate } from './chain/averaging/accumulate.ts';
export { voltageFromResult } from './chain/averaging/result.ts';
export { type BestDither, bestDither } from './chain/averaging/dither.ts';
export { ditheredError } from './chain/averaging/shapedDither.ts';
export { largestMeanError, meanCodeError, meanTransfer } from './chain/averaging/staircase.ts';
export { type AveragedNoise, averagedNoise, usefulRatio } from './chain/averaging/noise.ts';
export { boxcarGain, burstLag } from './chain/averaging/boxcar.ts';
export { boxcarBandwidth } from './chain/averaging/boxcarBandwidth.ts';
export { clampBias } from './chain/averaging/clamping.ts';

// reading
export { channel } from './chain/reading/channel.ts';
export { type SupplyFromReference, supplyFromReference } from './chain/reading/supplyFromReference.ts';

// watchdog
export { type ThresholdCodes, thresholdCodes } from './chain/watchdog/thresholdCodes.ts';
export type { ThresholdCode } from './chain/watchdog/window.ts';
export { measurandThresholdCodes } from './chain/watchdog/measurandThresholdCodes.ts';
export { falseTripInterval, falseTripRate } from './chain/watchdog/falseTrips.ts';
export {
  consecutiveForInterval,
  hysteresisForInterval,
  marginForInterval,
} from './chain/watchdog/tripMargins.ts';
export { detectionDelay } from './chain/watchdog/detectionDelay.ts';

// asked of the whole chain: uncertainty
export {
  budgetLines,
  type CombinedUncertainty,
  type Contribution,
  combineUncertainty,
  coverageFactor,
} from './budget/uncertainty.ts';
export { propagateUncertainty, sensitivities } from './budget/propagation.ts';
export { secondOrderUncertainty } from './budget/secondOrder.ts';
export { monteCarlo, monteCarloRun } from './budget/monteCarlo.ts';
export { numericalTolerance } from './budget/coverageInterval.ts';
export { validation } from './budget/validation.ts';
export { correlationOfMeans, meanOfObservations } from './budget/observations.ts';
export { calibratedValue, calibration } from './budget/calibration.ts';
export { requirementSensitivities } from './budget/sensitivity.ts';
export { passingFraction } from './budget/passing.ts';

// asked of the whole chain: response
export {
  aliasFrequency,
  aliasMap,
  boxcarNoiseBandwidth,
  chainGain,
  cornerFrequency,
  lowPassGain,
  lowPassNoiseBandwidth,
} from './budget/response.ts';
export { beatPeriod, humRejection, nullingWindows } from './budget/hum.ts';
export { stepShown, stepTime } from './budget/step.ts';
export { filterFigures } from './budget/filter.ts';
export { filteredCodes } from './budget/filteredCodes.ts';

// asked of the whole chain: charge
export { burstCharge } from './budget/charge.ts';
export { averageCurrent, batteryLife, ratioCosts, readingCost } from './budget/battery.ts';
export { switchedDivider } from './budget/switchedDivider.ts';
export { type ScanBuffer, scanBuffer } from './budget/buffer.ts';

// recorded codes
export { recordReader } from './record/reader.ts';
export { type RecordAnalysis, recordAnalysis } from './record/analysis.ts';
export { figuresAtRate, type RecordFigures, recordFigures } from './record/figures.ts';
export { type Envelope, envelopeStream } from './record/envelope.ts';
export { summarizeCodes, summaryOfSums, summaryStream } from './record/summary.ts';
export { addedSums, codeSums } from './record/sums.ts';
export { transitionNoise } from './record/transitionNoise.ts';
export { codeProbabilities, histogramFit } from './record/histogram.ts';
export { drift } from './record/drift.ts';
export { autocorrelation, autocorrelationStream } from './record/autocorrelation.ts';
export { allanDeviation } from './record/allan.ts';
export { allanConfidence, allanFreedom, allanMinimum } from './record/allanConfidence.ts';
export { allanStream } from './record/allanStream.ts';
export { averagedBits, averagedBitsStream } from './record/averagedBits.ts';
export { spectrum } from './record/spectrum.ts';
export { averagedSpectrum, spectrumStream } from './record/averagedSpectrum.ts';
export { tone } from './record/tone.ts';
export { humLines } from './record/hum.ts';
export { effectiveBitsFromResidual, sineFit } from './record/sineFit.ts';
export { codeDensity, codeDensityRecordLength } from './record/codeDensity.ts';
export { meanRecordLength, noiseRecordLength, spectrumSegments } from './record/recordLength.ts';

// a worksheet
export { readProfile } from './worksheet/profile.ts';
export { readWorksheet, type Worksheet } from './worksheet/read.ts';
export { WorksheetError } from './worksheet/problem.ts';
export { type Evaluation, evaluate } from './worksheet/evaluate.ts';
export { comparison } from './worksheet/compare.ts';

// into firmware
export { type IntegerConversion, integerConversion } from './firmware/integerConversion.ts';
export { type SupplyCorrection, supplyCorrection } from './firmware/supplyCorrection.ts';

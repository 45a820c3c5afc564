/**
 * The public names of the computation, in the order of the chain. SI units and plain numbers; text with units is turned into SI
 * once, by `quantity`.
 */
import './numbers/compound.ts';

// the whole chain
export { burstCharge } from './budget/charge.ts';
// averaging
export { accumulate } from './chain/averaging/accumulate.ts';
export { boxcarGain, burstLag } from './chain/averaging/boxcar.ts';
export { type BestDither, bestDither } from './chain/averaging/dither.ts';
export { type AveragedNoise, averagedNoise, usefulRatio } from './chain/averaging/noise.ts';
export {
  type Oversampled,
  type OversampledSetting,
  oversample,
  oversampleTable,
} from './chain/averaging/oversample.ts';
export { voltageFromResult } from './chain/averaging/result.ts';
export { ditheredError } from './chain/averaging/shapedDither.ts';
export { largestMeanError, meanCodeError, meanTransfer } from './chain/averaging/staircase.ts';
// conditioning
export { amplifier } from './chain/conditioning/amplifier.ts';
export { bestDividerResistor } from './chain/conditioning/bestDividerResistor.ts';
export { type SensorDivider, sensorDivider } from './chain/conditioning/sensorDivider.ts';
// quantizing
export {
  codeBinWidth,
  codeFromVoltage,
  differentialBinWidth,
  differentialCodeFromVoltage,
  differentialVoltageFromCode,
  effectiveBitsFromSinad,
  idealSnrDb,
  voltageFromCode,
} from './chain/quantizing.ts';
// reading
export { channel } from './chain/reading/channel.ts';
export { type SupplyFromReference, supplyFromReference } from './chain/reading/supplyFromReference.ts';
// sampling
export { burstError } from './chain/sampling/burst.ts';
export { crosstalk } from './chain/sampling/crosstalk.ts';
export {
  equivalentInputImpedance,
  kick,
  leakageError,
  meanDroop,
  settlingTimeConstants,
} from './chain/sampling/estimates.ts';
export { type PinCapacitanceWindows, pinCapacitanceWindows } from './chain/sampling/pinCapacitance.ts';
export { maxSourceResistance, minSampleTime } from './chain/sampling/sampleTime.ts';
export { bestScanOrder } from './chain/sampling/scanOrder.ts';
export { type Settled, settle } from './chain/sampling/settle.ts';
export { burstThermalNoise, thermalNoise } from './chain/sampling/thermalNoise.ts';
export { conversionTime, outputRate } from './chain/sampling/timing.ts';
export { triggerRate } from './chain/sampling/triggerRate.ts';
// source
export { bridge } from './chain/source/bridge.ts';
export { currentLoop } from './chain/source/currentLoop.ts';
export { dieSensor } from './chain/source/dieSensor.ts';
export { divider } from './chain/source/divider.ts';
export { linearSensor } from './chain/source/linearSensor.ts';
export { platinum } from './chain/source/platinum.ts';
export { potentiometer } from './chain/source/potentiometer.ts';
export type { Sensor } from './chain/source/sensor.ts';
export { shunt } from './chain/source/shunt.ts';
export { table } from './chain/source/table.ts';
export { thermistor } from './chain/source/thermistor.ts';
export { thermocouple } from './chain/source/thermocouple.ts';
export { nearestInSeries, seriesValues, stepSeries } from './numbers/eseries.ts';
export {
  asciiQuantity,
  formatDeciding,
  formatFixed,
  formatNumber,
  formatQuantity,
} from './numbers/format.ts';
export { QuantityError, quantity, spread } from './numbers/quantity.ts';
export { seededRandom } from './numbers/random.ts';
export { type Evaluation, evaluate } from './worksheet/evaluate.ts';
export { WorksheetError } from './worksheet/problem.ts';
export { readProfile } from './worksheet/profile.ts';
export { readWorksheet, type Worksheet } from './worksheet/read.ts';

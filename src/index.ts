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

// a worksheet
export { type Evaluation, evaluate } from './worksheet/evaluate.ts';
export { WorksheetError } from './worksheet/problem.ts';
export { readProfile } from './worksheet/profile.ts';
export { readWorksheet, type Worksheet } from './worksheet/read.ts';

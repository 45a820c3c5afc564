/**
 * Findings: what a reader of the results should know, each with the stage and the input that it is about.
 */
import { formatDeciding, formatNumber, formatQuantity } from '../numbers/format.ts';
import type { RequirementName, RequirementResult } from '../plan/requirements.ts';
import type { Evaluated, Finding, NamedFinding } from './evaluation.ts';
import { subjectLabel } from './review.ts';
import { scanFindings } from './scanFindings.ts';
import { sourceFindings } from './sourceFindings.ts';

/** Share of the mean square error from which one cause is said to carry it. */
const carries = 0.5;

/** Rms error that the rule of thumb promises, native LSB: that of a quantizer with its bits. */
const ruleLsb = ({ quantizing, averaging }: Evaluated): number =>
  2 ** (quantizing.bits - averaging.ruleOfThumbBits) / Math.sqrt(12);

const where: Readonly<Record<RequirementName, Pick<Finding, 'stage' | 'path'>>> = {
  resolution: { stage: 'reading', path: 'requirement.resolution' },
  step: { stage: 'reading', path: 'requirement.step' },
  settling: { stage: 'sampling', path: 'sampling.sampleCycles' },
  overflow: { stage: 'averaging', path: 'averaging.shift' },
  period: { stage: 'averaging', path: 'requirement.period' },
  latency: { stage: 'averaging', path: 'requirement.latency' },
  batteryLife: { stage: 'averaging', path: 'requirement.batteryLife' },
  uncertainty: { stage: 'reading', path: 'requirement.uncertainty' },
};

const subjects: Readonly<Record<RequirementName, (value: string, limit: string) => string>> = {
  resolution: (value, limit) => `Readings scatter by ${value} rms at worst; ${limit} is wanted`,
  step: (value, limit) => `The result steps by ${value} at worst; ${limit} is wanted`,
  settling: (value, limit) => `The reading is ${value} of the result short of settled; ${limit} is allowed`,
  overflow: (value, limit) => `The largest result is ${value}; the register holds ${limit}`,
  period: (value, limit) => `The conversions take ${value}; readings are ${limit} apart`,
  latency: (value, limit) => `The result comes after ${value}; ${limit} is wanted`,
  batteryLife: (value, limit) => `The battery lasts ${value}; ${limit} is wanted`,
  uncertainty: (value, limit) => `A reading may be off by ${value} (coverage 95\u202f%); ${limit} is wanted`,
};

/** A requirement that is missed, with the digits that decide and the remedy where one is known. */
function missed(r: RequirementResult, e: Evaluated): NamedFinding {
  const digits = r.name === 'overflow' ? 7 : 3;
  const { value, limit } = formatDeciding({ value: r.actual, limit: r.required, unit: r.unit, digits });
  const remedy = remedies[r.name]?.(e) ?? '';
  return {
    name: `finding.missed.${r.name}`,
    kind: 'missed',
    ...where[r.name],
    text: `${subjects[r.name](value, limit)}.${remedy && ` ${remedy}`}`,
  };
}

const remedies: Partial<Record<RequirementName, (e: Evaluated) => string>> = {
  uncertainty: ({ uncertainty }) => {
    const { name, share } = uncertainty.present.lines[0]!;
    return `${formatQuantity({ value: share, unit: '%', digits: 2 })} of the variance is ${name}.`;
  },
  settling: ({ sampling }) => {
    const { minSampleCycles, minSampleTime } = sampling;
    const time =
      typeof minSampleTime === 'number'
        ? `It takes ${formatQuantity({ value: minSampleTime, unit: 's' })}`
        : '';
    if (minSampleCycles !== 'none')
      return `${time || 'It takes'}: ${minSampleCycles} sample cycles at this clock.`;
    const source = formatQuantity({ value: sampling.sourceResistance, unit: 'ohm' });
    return `${time ? `${time}; n` : 'N'}o sample time of the profile is long enough for ${source} at this clock.`;
  },
  period: ({ worksheet, averaging, requirements }) => {
    const all = requirements.find((r) => r.name === 'period')!.actual;
    const others = formatQuantity({ value: all - averaging.burstTime, unit: 's' });
    return worksheet.inputs.scan?.channels ? `The scan’s other channels take ${others} of it.` : '';
  },
  overflow: ({ averaging }) =>
    `It needs ${averaging.resultBits} bits; ${averaging.onOverflow === 'saturate' ? 'it stays at the largest code' : 'the upper bits are lost'}.`,
};

/** What the rule of thumb promises, where the truth decides otherwise. */
function rule(e: Evaluated): NamedFinding[] {
  const resolution = e.requirements.find((r) => r.name === 'resolution');
  const promised = ruleLsb(e) * e.channel.worst.perCode;
  if (resolution === undefined || resolution.met || promised > resolution.required) return [];
  const unit = e.units.difference;
  const { value } = formatDeciding({ value: e.reading.rms, limit: resolution.required, unit });
  return [
    {
      name: 'finding.ruleOfThumb',
      kind: 'caution',
      stage: 'averaging',
      path: 'averaging.ratio',
      text: `Half a bit for every doubling would promise ${formatQuantity({ value: promised, unit })} rms and call this met; it is ${value}.`,
    },
  ];
}

/** Too little noise: the part that no averaging removes carries the error. */
function ripple(e: Evaluated): NamedFinding[] {
  const { ratio, rippleLsb, rmsErrorLsb } = e.averaging;
  if (ratio === 1 || rippleLsb ** 2 < carries * rmsErrorLsb ** 2) return [];
  const stays = formatQuantity({ value: rippleLsb * e.channel.worst.perCode, unit: e.units.difference });
  const noise = formatQuantity({ value: e.noise.independentLsb, unit: 'LSB' });
  return [
    {
      name: 'finding.littleNoise',
      kind: 'caution',
      stage: 'averaging',
      path: 'converter.noise',
      text: `There is too little noise to average: at ${noise} rms the staircase leaves ${stays} rms at any ratio.`,
    },
  ];
}

/** A shift that makes the result coarser than what was averaged. */
function coarse(e: Evaluated): NamedFinding[] {
  const { shift, ratio, resultLsb } = e.averaging;
  if (resultLsb <= 1) return [];
  return [
    {
      name: 'finding.coarseShift',
      kind: 'caution',
      stage: 'averaging',
      path: 'averaging.shift',
      text: `A shift of ${shift} after ${ratio} makes one result code ${formatNumber({ value: resultLsb })} codes of a conversion: averaging is thrown away.`,
    },
  ];
}

/** The shift's bias, where firmware that forgets it is off by more than the scatter. */
function bias(e: Evaluated): NamedFinding[] {
  const { biasMeasurand, rms } = e.reading;
  if (Math.abs(biasMeasurand) <= rms) return [];
  const off = formatQuantity({ value: Math.abs(biasMeasurand), unit: e.units.difference });
  return [
    {
      name: 'finding.shiftBias',
      kind: 'note',
      stage: 'reading',
      path: 'averaging.rounding',
      text: `The shift drops its low bits; firmware that forgets them reads ${off} too ${biasMeasurand < 0 ? 'low' : 'high'}, more than the scatter.`,
    },
  ];
}

/** A range that the converter cannot follow. */
function clipped(e: Evaluated): NamedFinding[] {
  const { channel, units } = e;
  const { low, high } = channel.range;
  return [low, high].flatMap((m, i): NamedFinding[] => {
    const fraction = channel.fraction(m);
    if (fraction >= 0 && fraction <= 1) return [];
    const at = formatQuantity({ value: m, unit: units.measurand });
    const percent = formatQuantity({ value: fraction, unit: '%' });
    return [
      {
        name: `finding.clipped.${i === 0 ? 'low' : 'high'}`,
        kind: 'caution',
        stage: 'conditioning',
        path: `requirement.range.${i === 0 ? 'low' : 'high'}`,
        text: `At ${at} the pin is at ${percent} of the reference: the code stays at its end, and a pin beyond the supply feeds current into the chip.`,
      },
    ];
  });
}

/** Interference that carries the error. */
function interference({ reading, units }: Evaluated): NamedFinding[] {
  return reading.contributions.flatMap((c, i): NamedFinding[] => {
    if (i === 0 || c.rms ** 2 < carries * reading.rms ** 2) return [];
    return [
      {
        name: `finding.interference.${i - 1}`,
        kind: 'caution',
        stage: 'reading',
        path: `conditioning.interference.${i - 1}.frequency`,
        text: `Most of the scatter is ${c.name}: ${formatQuantity({ value: c.rms, unit: units.difference })} rms is left after averaging.`,
      },
    ];
  });
}

const stages: Readonly<Record<string, Finding['stage']>> = {
  sensor: 'source',
  conditioning: 'conditioning',
  converter: 'quantizing',
  noise: 'quantizing',
  sampling: 'sampling',
  scan: 'sampling',
  averaging: 'averaging',
  power: 'averaging',
  watchdog: 'watchdog',
};

/** Whether a finding says that an input is assumed and nobody has reviewed it. */
export const isUnreviewed = ({ name, path }: Finding): boolean => name === path;

/** Assumed inputs that no review note is on. */
function unreviewed({ worksheet, assumed }: Evaluated): Finding[] {
  const noted = new Set(worksheet.inputs.review?.map((entry) => entry.on));
  return assumed
    .filter(({ path }) => !noted.has(path))
    .map(({ path }) => ({
      name: path,
      kind: 'note',
      stage: stages[path.split('.')[0]!] ?? 'reading',
      path,
      text: `The ${subjectLabel(worksheet, path)} is assumed and not reviewed.`,
    }));
}

/** The findings: missed requirements first, inputs that nobody has reviewed last. */
export function findingsOf(e: Evaluated): Finding[] {
  const misses = e.requirements.filter((r) => !r.met).map((r) => missed(r, e));
  const others = [rule, ripple, coarse, bias, clipped, sourceFindings, scanFindings, interference].flatMap(
    (f) => f(e),
  );
  return [...misses, ...others, ...unreviewed(e)];
}

/**
 * Findings: what a reader of the results should know, each with the stage and the input that it is about.
 */
import { formatDeciding, formatNumber, formatQuantity } from '../numbers/format.ts';
import type { RequirementName, RequirementResult } from '../plan/requirements.ts';
import type { Evaluated, Finding } from './evaluation.ts';
import type { FindingName } from './findingNames.ts';
import { sourceCurrent } from './phasesOf.ts';
import { subjectLabel } from './review.ts';
import { scanSettlingOf } from './scanSettlingOf.ts';
import { scanTimesOf } from './scanTimesOf.ts';
import { thermocoupleFrom } from './sensors.ts';

/** A finding that is about more than an assumed input. */
type Named = Finding & { readonly name: FindingName };

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
function missed(r: RequirementResult, e: Evaluated): Named {
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
function rule(e: Evaluated): Named[] {
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
function ripple(e: Evaluated): Named[] {
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
function coarse(e: Evaluated): Named[] {
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
function bias(e: Evaluated): Named[] {
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
function clipped(e: Evaluated): Named[] {
  const { channel, units } = e;
  const { low, high } = channel.range;
  return [low, high].flatMap((m, i): Named[] => {
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

/** Channels of a scan whose result is further from settled than a result of this one may be, or that are sampled too short. */
function scanned(e: Evaluated): Named[] {
  if (!e.worksheet.inputs.scan?.channels) return [];
  const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });
  const times = scanTimesOf(e);
  const head = { kind: 'caution', stage: 'sampling', path: 'scan' } as const;
  const allowed = e.sampling.allowedErrorLsb;
  const off = scanSettlingOf(e, times)
    .map((c, i) => ({ ...c, i }))
    .filter((c) => Math.abs(c.lsb) > allowed);
  return [
    ...off.map(({ name, previous, lsb: error, i }) => ({
      name: `finding.scanSettling.${i}` as const,
      ...head,
      text: `In the scan ${name}, after ${previous}, is ${lsb(Math.abs(error))} of a conversion from settled; ${lsb(allowed)} is allowed.`,
    })),
    ...times.visits.flatMap(({ name, short, sampleTime, leastSampleTime }, i) =>
      short
        ? [
            {
              name: `finding.scanTime.${i}` as const,
              ...head,
              text: `In the scan ${name} is sampled for ${formatQuantity({ value: sampleTime, unit: 's' })}; its data sheet asks for ${formatQuantity({ value: leastSampleTime!, unit: 's' })}.`,
            },
          ]
        : [],
    ),
  ];
}

/** Codes that a range should span at least, ahead of averaging; fewer ask for an amplifier. Common practice, no source. */
const fewCodes = 256;

/** A range that spans few codes. */
function narrow(e: Evaluated): Named[] {
  const { channel, quantizing, worksheet } = e;
  const { low, high } = channel.range;
  const codes = Math.abs(channel.codeOf(high) - channel.codeOf(low));
  if (codes >= fewCodes || worksheet.inputs.conditioning.amplifier || e.sensor.electrical === 'resistance')
    return [];
  const all = formatNumber({ value: 2 ** quantizing.bits, digits: 12 });
  return [
    {
      name: 'finding.narrowRange',
      kind: 'caution',
      stage: 'conditioning',
      path: 'requirement.range.high',
      text: `The whole range spans ${formatNumber({ value: codes })} of ${all} codes: an amplifier ahead of the pin would spread it.`,
    },
  ];
}

/** What a thermocouple's reading takes for granted. */
function coldJunction({ worksheet: { inputs }, channel }: Evaluated): Named[] {
  const { sensor } = inputs;
  if (sensor.kind !== 'thermocouple') return [];
  const thermocouple = thermocoupleFrom(sensor);
  const { low, high } = channel.range;
  const perKelvin = Math.max(...[low, high].map((m) => Math.abs(thermocouple.coldJunctionSensitivity(m))));
  const at = formatQuantity({ value: sensor.coldJunction.value, unit: 'degC' });
  return [
    {
      name: 'finding.coldJunction',
      kind: 'note',
      stage: 'source',
      path: 'sensor.coldJunction',
      text: `Readings hold for a cold junction at ${at}; each kelvin that it is off moves them by up to ${formatQuantity({ value: perKelvin, unit: 'K' })}. Where it moves, firmware measures it and adds its voltage first.`,
    },
  ];
}

/** Heat in the resistor that a current flows through. */
function heat({ worksheet: { inputs }, sensor, channel }: Evaluated): Named[] {
  const { sensor: input } = inputs;
  if (input.kind !== 'shunt' && input.kind !== 'currentLoop') return [];
  const { low, high } = channel.range;
  const volts = Math.max(...[low, high].map((m) => Math.abs(sensor.toElectrical(m))));
  const power = formatQuantity({ value: volts ** 2 / input.resistance.value, unit: 'W' });
  const drop = formatQuantity({ value: volts, unit: 'V' });
  return [
    {
      name: 'finding.heat',
      kind: 'note',
      stage: 'source',
      path: 'sensor.resistance',
      text: `The ${input.kind === 'shunt' ? 'shunt' : 'loop resistor'} takes ${drop} of its circuit and turns up to ${power} into heat, which comes from there and is not in the charge of a reading.`,
    },
  ];
}

/** A table that ends where the range does: errors beyond it cannot be told. */
function tableEnds({ worksheet: { inputs }, sensor, channel, units }: Evaluated): Named[] {
  if (inputs.sensor.kind !== 'table') return [];
  return (['low', 'high'] as const).flatMap((end): Named[] => {
    if (channel.range[end] !== sensor.validRange[end]) return [];
    return [
      {
        name: `finding.tableEnds.${end}`,
        kind: 'caution',
        stage: 'source',
        path: 'sensor.points',
        text: `The table ends at ${formatQuantity({ value: sensor.validRange[end], unit: units.measurand })}, where the range does: errors that carry a reading beyond it are not counted. Add a point beyond.`,
      },
    ];
  });
}

/** A voltage divider that draws more than the worksheet allows it. */
function overdrawn({ worksheet, channel }: Evaluated): Named[] {
  const { sensor } = worksheet.inputs;
  const allowed = sensor.kind === 'divider' ? sensor.allowedCurrent?.value : undefined;
  const current = sourceCurrent(worksheet, channel);
  if (allowed === undefined || current <= allowed * (1 + 1e-9)) return [];
  const { value, limit } = formatDeciding({ value: current, limit: allowed, unit: 'A' });
  return [
    {
      name: 'finding.overdrawn',
      kind: 'caution',
      stage: 'source',
      path: 'sensor.top',
      text: `The two resistors draw ${value} while they are connected; ${limit} is allowed.`,
    },
  ];
}

/** Interference that carries the error. */
function interference({ reading, units }: Evaluated): Named[] {
  return reading.contributions.flatMap((c, i): Named[] => {
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
  return [
    ...misses,
    ...[
      rule,
      ripple,
      coarse,
      bias,
      clipped,
      narrow,
      coldJunction,
      heat,
      overdrawn,
      tableEnds,
      scanned,
      interference,
    ].flatMap((f) => f(e)),
    ...unreviewed(e),
  ];
}

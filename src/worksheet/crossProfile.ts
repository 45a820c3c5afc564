/**
 * Cross checks between a worksheet and the converter profile that it names.
 */
import { conversionTime } from '../chain/sampling/timing.ts';
import { asciiQuantity } from '../numbers/format.ts';
import { nearest, shown } from '../numbers/guard.ts';
import { listed } from './check.ts';
import type { Loose, Refuse } from './problem.ts';
import { clockServes, ladder, overridden, profileFaults, ratiosOf } from './profile.ts';
import type { Profile, Profiles } from './schema/converter.ts';
import type { Quantity } from './schema/field.ts';
import type { Inputs } from './schema/worksheet.ts';

const inAscii = (value: number, unit: string): string => asciiQuantity({ value, unit });

/** The profile that a worksheet names, with its overrides; undefined where that is none, which is then a problem. */
export function effectiveProfile(inputs: Inputs, profiles: Profiles, refuse: Refuse): Profile | undefined {
  const { converter, watchdog } = inputs;
  if (converter?.profile === undefined) return undefined;
  const { profile: name, reference: _, ...figures } = converter;
  if (!Object.hasOwn(profiles, name)) {
    const known = Object.keys(profiles);
    const allowed = known.join(', ') || 'none';
    const near = nearest(name, known);
    refuse(
      'converter.profile',
      shown(name),
      allowed,
      `no profile has the name ${shown(name)}${near === undefined ? '' : `; the nearest is "${near}"`}`,
    );
    return undefined;
  }
  const base = overridden(profiles[name]!, figures);
  const profile = watchdog?.compare
    ? { ...base, comparator: overridden(base.comparator, watchdog.compare) }
    : base;
  const faults = profileFaults(profile);
  for (const [path, reason] of faults) refuse(`converter.${path}`, '', '', reason);
  return faults.length > 0 ? undefined : profile;
}

/** Adds a problem for each rule of the profile that the inputs break; inputs that were refused already are let pass. */
export function profileCheck(inputs: Loose<Inputs>, profile: Profile | undefined, refuse: Refuse): void {
  checkReference(inputs, profile, refuse);
  if (profile === undefined) return;
  checkSampling(inputs, profile, refuse);
  checkAveraging(inputs, profile, refuse);
  checkScan(inputs, profile, refuse);
}

function checkScan({ scan, sensor }: Loose<Inputs>, profile: Profile, refuse: Refuse): void {
  const others = scan?.channels ?? [];
  const pins = others.filter((c) => c?.input !== 'internal').length + (sensor?.kind === 'die' ? 0 : 1);
  if (others.length > 0 && pins > profile.channels) {
    const reason = `${pins} channels at pins; the profile has ${profile.channels}`;
    refuse('scan.channels', String(pins), `up to ${profile.channels} channels at pins`, reason);
  }
  const allowed = ladder(profile.sampleCycles);
  for (const [i, channel] of others.entries()) {
    const cycles = channel?.sampleCycles;
    if (cycles === undefined || profile.sampleCycles.includes(cycles)) continue;
    const reason = `${cycles} is no sample time of the profile; the profile allows ${allowed}`;
    refuse(`scan.channels.${i}.sampleCycles`, String(cycles), allowed, reason);
  }
}

function checkReference({ converter }: Loose<Inputs>, profile: Profile | undefined, refuse: Refuse): void {
  const reference = converter?.reference;
  if (reference?.source === undefined) return;
  const voltage = reference.voltage as Quantity | undefined;
  if (reference.source !== 'internal' && voltage === undefined) {
    refuse(
      'converter.reference',
      '',
      'a "voltage"',
      `missing is "voltage": the profile does not know that of the ${reference.source}`,
    );
  }
  if (voltage === undefined || profile === undefined || reference.source === 'internal') return;
  const { lowest, highest } = profile.referenceRange;
  if (voltage.value < lowest.value || voltage.value > highest.value) {
    const allowed = `${lowest.text} … ${highest.text}`;
    refuse(
      'converter.reference.voltage',
      shown(voltage.text),
      allowed,
      `${voltage.text} is out of range; the profile allows ${allowed}`,
    );
  }
}

function checkSampling({ sampling }: Loose<Inputs>, profile: Profile, refuse: Refuse): void {
  const divider = sampling?.clockDivider?.value;
  const cycles = sampling?.sampleCycles?.value;
  const bits = sampling?.bits?.value;
  const inList = (
    path: string,
    value: number | undefined,
    values: readonly number[],
    what: string,
  ): boolean => {
    if (value === undefined || values.includes(value)) return true;
    const allowed = ladder(values);
    refuse(path, String(value), allowed, `${value} is no ${what}; the profile allows ${allowed}`);
    return false;
  };
  const widths = profile.resolutions.map((r) => r.bits);
  const known = [
    inList('sampling.sampleCycles', cycles, profile.sampleCycles, 'sample time of the profile'),
    inList('sampling.bits', bits, widths, 'resolution of the profile'),
    inList('sampling.clockDivider', divider, profile.clock.dividers, 'clock divider of the profile'),
  ].every(Boolean);
  const { source, highest } = profile.clock;
  if (divider !== undefined && !clockServes(profile, divider)) {
    refuse(
      'sampling.clockDivider',
      String(divider),
      `converter clocks up to ${highest.text}`,
      `${divider} makes ${inAscii(source.value / divider, 'Hz')} of ${source.text}; the profile allows up to ${highest.text}`,
    );
  }
  const interval = sampling?.interval as Quantity | undefined;
  if (sampling?.trigger === 'conversion' && interval === undefined) {
    refuse('sampling', '', 'an "interval"', 'missing is "interval": a timer starts each conversion');
  }
  if (sampling?.trigger === 'burst' && interval !== undefined) {
    refuse(
      'sampling.interval',
      shown(interval.text),
      'nothing',
      'conversions of a burst follow back to back; take this out or write "trigger": "conversion"',
    );
  }
  if (!known || interval === undefined || divider === undefined || cycles === undefined || bits === undefined)
    return;
  const { conversionCycles } = profile.resolutions.find((r) => r.bits === bits)!;
  const least = conversionTime({ clock: source.value / divider, sampleCycles: cycles, conversionCycles });
  if (interval.value < least) {
    refuse(
      'sampling.interval',
      shown(interval.text),
      `from ${inAscii(least, 's')}`,
      `${interval.text} is shorter than one conversion, ${inAscii(least, 's')}`,
    );
  }
}

const isPowerOfTwo = (n: number): boolean => Number.isInteger(Math.log2(n));

function checkAveraging({ averaging }: Loose<Inputs>, profile: Profile, refuse: Refuse): void {
  const ratio = averaging?.ratio?.value;
  const shift = averaging?.shift?.value;
  const rounding = averaging?.rounding;
  const { ratioUpTo, largestShift, rounding: roundings } = profile.averaging;
  const ratios = ratiosOf(profile);
  if (ratio !== undefined && ratio !== 1) {
    const largest = ratioUpTo ?? ratios.at(-1)!;
    const powers = ratioUpTo === undefined && ratios.every(isPowerOfTwo);
    const dense = powers && ratios.every((r, i) => i === 0 || r === 2 * ratios[i - 1]!);
    const allowed =
      ratioUpTo !== undefined ? `1 … ${largest}` : dense ? `${ratios[0]} … ${largest}` : ladder(ratios);
    const what =
      ratio > largest
        ? 'too large'
        : powers && !isPowerOfTwo(ratio)
          ? 'not a power of two'
          : 'no ratio of the profile';
    const keeps = ratioUpTo !== undefined ? ratio <= ratioUpTo : ratios.includes(ratio);
    if (!keeps)
      refuse('averaging.ratio', String(ratio), allowed, `${ratio} is ${what}; the profile allows ${allowed}`);
  }
  if (shift !== undefined && shift > largestShift) {
    const allowed = `0 … ${largestShift}`;
    refuse('averaging.shift', String(shift), allowed, `${shift} is too large; the profile allows ${allowed}`);
  }
  if (rounding !== undefined && !roundings.includes(rounding)) {
    const allowed = listed(roundings);
    refuse(
      'averaging.rounding',
      `"${rounding}"`,
      allowed,
      `the profile’s shift cannot do this; it allows ${allowed}`,
    );
  }
}

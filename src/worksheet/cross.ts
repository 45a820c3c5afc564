/**
 * Cross checks between the fields of a worksheet: wiring, range, watchdog.
 */
import { asciiQuantity } from '../numbers/format.ts';
import { shown } from '../numbers/guard.ts';
import type { Loose, Refuse } from './problem.ts';
import type { Profile } from './schema/converter.ts';
import type { Quantity } from './schema/field.ts';
import type { Inputs } from './schema/worksheet.ts';
import { sensorFrom } from './sensors.ts';

/** Adds a problem for each rule that the inputs break; what was `refused` already, or may hang on it, is let pass. */
export function crossCheck(
  inputs: Loose<Inputs>,
  profile: Profile | undefined,
  refuse: Refuse,
  refused: (path: string) => boolean,
): void {
  checkWiring(inputs, refuse);
  checkRange(inputs, profile, refuse, refused);
  checkWatchdog(inputs, refuse);
  checkConditions(inputs, refuse);
}

type CalibrationPoint = NonNullable<Inputs['calibration']>['points'][number];

const inAscii = (value: number, unit: string): string => asciiQuantity({ value, unit });

function checkWiring({ sensor, conditioning }: Loose<Inputs>, refuse: Refuse): void {
  if (sensor?.kind === undefined || conditioning === undefined) return;
  const { divider, wiring, excitation, leadResistance } = conditioning;
  const resistive = sensor.kind === 'thermistor' || sensor.kind === 'platinum';
  if (resistive && divider === undefined) {
    refuse('conditioning', '', 'a "divider"', `missing is "divider": a ${sensor.kind} is a resistance`);
  }
  if (!resistive && divider !== undefined) {
    refuse(
      'conditioning.divider',
      'an object',
      'nothing',
      `a ${sensor.kind} gives a voltage; take the divider out`,
    );
  }
  if (!resistive && leadResistance !== undefined) {
    refuse('conditioning.leadResistance', '', 'nothing', 'only a resistive sensor has a lead resistance');
  }
  if (sensor.kind === 'divider' && wiring === 'ratiometric') {
    refuse(
      'conditioning.wiring',
      '"ratiometric"',
      '"absolute"',
      'a voltage is measured against the reference; write "absolute"',
    );
  }
  if (sensor.kind === 'die' && wiring === 'ratiometric') {
    refuse(
      'conditioning.wiring',
      '"ratiometric"',
      '"absolute"',
      'the sensor on the chip does not follow the reference; write "absolute"',
    );
  }
  if (resistive && wiring === 'absolute' && excitation?.voltage === undefined) {
    refuse(
      'conditioning',
      '',
      'an excitation voltage',
      'missing is "excitation" with a "voltage": the wiring is absolute',
    );
  }
  if (wiring === 'ratiometric' && excitation?.voltage !== undefined) {
    refuse(
      'conditioning.excitation.voltage',
      '',
      'nothing',
      'the wiring is ratiometric: the excitation is the reference; take this out',
    );
  }
}

function checkRange(
  { requirement, sensor, calibration }: Loose<Inputs>,
  profile: Profile | undefined,
  refuse: Refuse,
  refused: (path: string) => boolean,
): void {
  const low = requirement?.range?.low as Quantity | undefined;
  const high = requirement?.range?.high as Quantity | undefined;
  if (low && high && !(low.value < high.value)) {
    refuse(
      'requirement.range.high',
      shown(high.text),
      `above ${low.text}`,
      `${high.text} is not above the low end, ${low.text}`,
    );
  }
  if (sensor?.kind === undefined || refused('sensor')) return;
  try {
    const { validRange } = sensorFrom(sensor as Inputs['sensor'], profile?.firstTransition ?? 0.5);
    const points = (calibration?.points ?? []) as readonly (Loose<CalibrationPoint> | undefined)[];
    const asked: readonly (readonly [string, Quantity | undefined])[] = [
      ['requirement.range.low', low],
      ['requirement.range.high', high],
      ...points.map((p, i) => [`calibration.points.${i}.at`, p?.at as Quantity | undefined] as const),
    ];
    for (const [path, at] of asked) {
      if (at === undefined || (validRange.low <= at.value && at.value <= validRange.high)) continue;
      const allowed = `${inAscii(validRange.low, at.unit)} … ${inAscii(validRange.high, at.unit)}`;
      refuse(
        path,
        shown(at.text),
        allowed,
        `${at.text} is outside of what the sensor can be asked; allowed ${allowed}`,
      );
    }
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    // The function that makes a sensor names itself ahead of what is wrong.
    const reason = error.message.replace(/^\w+[:.]\s*/, '');
    refuse('sensor', '', '', `no sensor: ${reason}`);
  }
}

function checkWatchdog({ watchdog }: Loose<Inputs>, refuse: Refuse): void {
  if (watchdog === undefined) return;
  const above = watchdog.above as Quantity | undefined;
  const below = watchdog.below as Quantity | undefined;
  if (above === undefined && below === undefined) {
    refuse('watchdog', '', '"above" or "below"', 'missing is a limit: "above", "below" or both');
  }
  if (above && below && above.unit === below.unit && !(below.value < above.value)) {
    refuse(
      'watchdog.below',
      shown(below.text),
      `below ${above.text}`,
      `${below.text} is not below the upper limit, ${above.text}`,
    );
  }
}

function checkConditions({ conditions }: Loose<Inputs>, refuse: Refuse): void {
  const coldest = conditions?.coldest as Quantity | undefined;
  const warmest = conditions?.warmest as Quantity | undefined;
  if (coldest === undefined || warmest === undefined || coldest.value <= warmest.value) return;
  refuse(
    'conditions.warmest',
    shown(warmest.text),
    `from ${coldest.text}`,
    `${warmest.text} is below the coldest, ${coldest.text}`,
  );
}

/**
 * Cross checks between the fields of a worksheet: wiring, range, watchdog.
 */
import { asciiQuantity } from '../numbers/format.ts';
import { shown } from '../numbers/guard.ts';
import type { Loose, Refuse } from './problem.ts';
import type { Profile } from './schema/converter.ts';
import type { Quantity } from './schema/field.ts';
import type { Inputs } from './schema/worksheet.ts';
import { worksheetSchema } from './schema/worksheet.ts';
import { isResistive, sensorFrom, statedRange } from './sensors.ts';

/** Adds a problem for each rule that the inputs break; what was `refused` already, or may hang on it, is let pass. */
export function crossCheck(
  inputs: Loose<Inputs>,
  profile: Profile | undefined,
  refuse: Refuse,
  refused: (path: string) => boolean,
): void {
  checkWiring(inputs, refuse);
  checkSensor(inputs, refuse);
  checkRange(inputs, profile, refuse, refused);
  checkWatchdog(inputs, refuse, refused);
  checkConditions(inputs, refuse);
}

type CalibrationPoint = NonNullable<Inputs['calibration']>['points'][number];

const inAscii = (value: number, unit: string): string => asciiQuantity({ value, unit });

/** Why the voltage of a sensor does not follow the reference. */
const ownVoltage: Partial<Record<Inputs['sensor']['kind'], string>> = {
  divider: 'a voltage is measured against the reference',
  die: 'the sensor on the chip does not follow the reference',
  thermocouple: 'a thermocouple makes its own voltage',
  shunt: 'the current through a shunt does not follow the reference',
  currentLoop: 'the current of a loop does not follow the reference',
};

const article = (label: string): string => `a${/^[aeiou]/i.test(label) ? 'n' : ''} ${label}`;

function checkWiring({ sensor, conditioning }: Loose<Inputs>, refuse: Refuse): void {
  if (sensor?.kind === undefined || conditioning === undefined) return;
  const { divider, wiring, excitation, leadResistance } = conditioning;
  // A table without its first point does not tell what it is.
  if (sensor.kind === 'table' && sensor.points?.[0]?.gives === undefined) return;
  const what = article(worksheetSchema.fields.sensor.variants[sensor.kind].label);
  const resistive = isResistive(sensor as Inputs['sensor']);
  // Fed by the excitation itself, without a divider.
  const ratio = sensor.kind === 'potentiometer' || sensor.kind === 'bridge';
  if (resistive && divider === undefined) {
    refuse('conditioning', '', 'a "divider"', `missing is "divider": ${what} is a resistance`);
  }
  if (!resistive && divider !== undefined) {
    refuse(
      'conditioning.divider',
      'an object',
      'nothing',
      `${what} gives a ${ratio ? 'part of its excitation' : 'voltage'}; take the divider out`,
    );
  }
  if (!resistive && leadResistance !== undefined) {
    refuse('conditioning.leadResistance', '', 'nothing', 'only a resistive sensor has a lead resistance');
  }
  const own = ownVoltage[sensor.kind];
  if (own !== undefined && wiring === 'ratiometric') {
    refuse('conditioning.wiring', '"ratiometric"', '"absolute"', `${own}; write "absolute"`);
  }
  if (sensor.kind === 'bridge' && conditioning.amplifier === undefined) {
    refuse(
      'conditioning',
      '',
      'an "amplifier"',
      'missing is "amplifier": a bridge gives the difference of two voltages, millivolts of it, and the pin takes one',
    );
  }
  if ((resistive || ratio) && wiring === 'absolute' && excitation?.voltage === undefined) {
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

/** The ends of a sensor in their order; a table all of resistances or all of voltages. */
function checkSensor({ sensor }: Loose<Inputs>, refuse: Refuse): void {
  if (sensor?.kind === 'currentLoop' || sensor?.kind === 'potentiometer') {
    const [low, high] = [sensor.low, sensor.high] as readonly (Quantity | undefined)[];
    if (low && high && !(low.value < high.value)) {
      refuse(
        'sensor.high',
        shown(high.text),
        `above ${low.text}`,
        `${high.text} is not above the low end, ${low.text}`,
      );
    }
  }
  if (sensor?.kind !== 'table') return;
  const given = (sensor.points ?? []).map((p) => p?.gives as Quantity | undefined);
  const unit = given[0]?.unit;
  const i = given.findIndex((g) => g && unit && g.unit !== unit);
  if (i < 0) return;
  refuse(
    `sensor.points.${i}.gives`,
    shown(given[i]!.text),
    `a figure in ${unit}`,
    `${given[i]!.text} stands in a table in ${unit}; give all points in the same unit`,
  );
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
    const input = sensor as Inputs['sensor'];
    const allowedRange = statedRange(input, sensorFrom(input, profile?.firstTransition ?? 0.5));
    const points = (calibration?.points ?? []) as readonly (Loose<CalibrationPoint> | undefined)[];
    const asked: readonly (readonly [string, Quantity | undefined])[] = [
      ['requirement.range.low', low],
      ['requirement.range.high', high],
      ...points.map((p, i) => [`calibration.points.${i}.at`, p?.at as Quantity | undefined] as const),
    ];
    for (const [path, at] of asked) {
      if (at === undefined || (allowedRange.low <= at.value && at.value <= allowedRange.high)) continue;
      const allowed = `${inAscii(allowedRange.low, at.unit)} … ${inAscii(allowedRange.high, at.unit)}`;
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

function checkWatchdog(
  { watchdog }: Loose<Inputs>,
  refuse: Refuse,
  refused: (path: string) => boolean,
): void {
  if (watchdog === undefined) return;
  const above = watchdog.above as Quantity | undefined;
  const below = watchdog.below as Quantity | undefined;
  // A limit may stand there that is refused, or cannot be read while the sensor is.
  const unread = ['sensor', 'watchdog.above', 'watchdog.below'].some(refused);
  if (above === undefined && below === undefined && !unread) {
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

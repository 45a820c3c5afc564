/** Words about a watchdog that page, drawing and command share: limits, places, what the hardware compares, how seldom a false alarm is. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import type { Limit, Place, Watchdog } from '../../worksheet/watchdogOf.ts';

/** A place in the measurand's unit, or in volts at the pin where the sensor gives no such voltage. */
export function placeWords({ units }: Evaluation, { measurand, volts }: Place, digits = 5): string {
  return measurand === 'none'
    ? `${formatQuantity({ value: volts, unit: 'V', digits })} at the pin`
    : formatQuantity({ value: measurand, unit: units.measurand, digits });
}

/** A limit as a place of the measurand. */
export const limitPlaceWords = (e: Evaluation, limit: Limit): string => placeWords(e, limit, 6);

/** A limit with its side: `above 37 °C`. */
export function limitWords({ side, value, form }: Pick<Limit, 'side' | 'value' | 'form'>): string {
  const at = form.is === 'pin' ? ' at the pin' : '';
  return `${side} ${formatQuantity({ value, unit: form.unit, digits: 6 })}${at}`;
}

/** Which bits are compared, of what, and what equality does: `the upper 11 bits of the averaged result; equality does not trip`. */
export function comparedWords(
  { averaging, quantizing }: Evaluation,
  { compare: { stage, drop, inclusive } }: Pick<Watchdog, 'compare'>,
): { value: string; equality: string } {
  const [what, bits] =
    stage === 'result'
      ? ['the averaged result', averaging.resultBits]
      : ['each conversion’s code', quantizing.bits];
  const value =
    drop === 0 ? `all ${bits} bits of ${what}` : `${what} without its lowest ${drop} of ${bits} bits`;
  return {
    value,
    equality: inclusive
      ? 'a value equal to the threshold trips too'
      : 'a value equal to the threshold does not trip',
  };
}

/** How many false alarms a year, in words: `one in 3 years`, `12 a year`, `none in 10⁹ years`. */
export function alarmsWords(perYear: number): string {
  if (perYear < 1e-9) return 'none in 10⁹ years';
  return perYear < 0.5
    ? `one in ${formatNumber({ value: 1 / perYear, digits: 2 })} years`
    : `${formatNumber({ value: perYear, digits: 2 })} a year`;
}

/** What stands between the measurand and the pin. */
function partsOf({ worksheet: { inputs } }: Evaluation): string[] {
  const { sensor, conditioning } = inputs;
  const divided = conditioning.divider !== undefined || sensor.kind === 'divider';
  return ['sensor', ...(divided ? ['divider'] : []), ...(conditioning.amplifier ? ['amplifier'] : [])];
}

/** What the measurand goes through, in words: `sensor and divider`. */
export const throughWords = (e: Evaluation): string =>
  partsOf(e)
    .join(', ')
    .replace(/, (\w+)$/, ' and $1');

/** What moves a limit besides the converter, in words, and the same as a list. */
export const looseWords = (e: Evaluation): string =>
  `S${partsOf(e).join(', ').slice(1)} and leakage of the pin`;
export const looseList = (e: Evaluation): string => [...partsOf(e), 'leakage'].join(', ');

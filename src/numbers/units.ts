/**
 * Units: the one table of the units that text may carry, and what each is worth.
 *
 * In comes a unit as it is written (`kΩ`, `µs`, `mAh`, `°C`); out goes the symbol it belongs to and its size as a whole factor
 * and a power of ten, so that a decimal number can be scaled without rounding.
 */
import { nearest } from './guard.ts';

/** One way of writing a unit: its spellings, the prefixes they take, and its size in the symbol's own unit. */
interface Written {
  /** Spellings, separated by spaces. */
  readonly as: string;
  /** Letters of the prefixes allowed before each spelling. */
  readonly prefixes?: string;
  /** Whole factor; 1 when absent. */
  readonly factor?: number;
  /** Power of ten; 0 when absent. */
  readonly exponent?: number;
}

/** A unit that a quantity may be asked for in. */
export interface Unit {
  /** Its symbol in plain ASCII, by which it is asked for. */
  readonly symbol: string;
  /** What it measures, with its article. */
  readonly measures: string;
  /** Its symbol in print. */
  readonly print: string;
  /** Letters of the prefixes that print uses, smallest first. */
  readonly scale: string;
  /** What an error message offers instead. */
  readonly offers: readonly string[];
  readonly written: readonly Written[];
}

/** Powers of ten of the prefixes. @see [SIBROCHURE] 3.1, table 7 */
export const prefixExponent: Readonly<Record<string, number>> = {
  f: -15,
  p: -12,
  n: -9,
  u: -6,
  m: -3,
  c: -2,
  k: 3,
  M: 6,
  G: 9,
};

/** A year of 8760 h, s. */
export const year = 8760 * 3600;

/** The units, by what they measure. A year is 8760 h. */
export const units: readonly Unit[] = [
  {
    symbol: 'V',
    measures: 'a voltage',
    print: 'V',
    scale: 'pnumk',
    offers: ['V', 'mV'],
    written: [{ as: 'V', prefixes: 'pnumkM' }, { as: 'volt volts' }],
  },
  {
    symbol: 'A',
    measures: 'a current',
    print: 'A',
    scale: 'fpnum',
    offers: ['mA', 'uA'],
    written: [{ as: 'A', prefixes: 'fpnumk' }],
  },
  {
    symbol: 'ohm',
    measures: 'a resistance',
    print: 'Ω',
    scale: 'umkMG',
    offers: ['ohm', 'kohm'],
    written: [{ as: 'ohm ohms Ohm Ohms', prefixes: 'umkMG' }],
  },
  {
    symbol: 'F',
    measures: 'a capacitance',
    print: 'F',
    scale: 'fpnum',
    offers: ['nF', 'pF'],
    written: [{ as: 'F', prefixes: 'fpnum' }],
  },
  {
    symbol: 'H',
    measures: 'an inductance',
    print: 'H',
    scale: 'pnum',
    offers: ['uH', 'mH'],
    written: [{ as: 'H', prefixes: 'pnum' }],
  },
  {
    symbol: 's',
    measures: 'a time',
    print: 's',
    scale: 'fpnum',
    offers: ['s', 'min', 'h'],
    written: [
      { as: 's', prefixes: 'fpnum' },
      { as: 'second seconds' },
      { as: 'min minute minutes', factor: 60 },
      { as: 'h hour hours', factor: 3600 },
      { as: 'day days', factor: 86_400 },
      { as: 'year years', factor: year },
    ],
  },
  {
    symbol: 'Hz',
    measures: 'a frequency',
    print: 'Hz',
    scale: 'numkMG',
    offers: ['Hz', 'kHz'],
    written: [
      { as: 'Hz', prefixes: 'numkMG' },
      { as: 'sps SPS', prefixes: 'kM' },
    ],
  },
  {
    symbol: 'K',
    measures: 'a temperature difference',
    print: '°C',
    scale: 'num',
    offers: ['K', 'mK'],
    written: [{ as: 'K', prefixes: 'num' }],
  },
  {
    symbol: 'degC',
    measures: 'a temperature',
    print: '°C',
    scale: '',
    offers: ['degC'],
    written: [{ as: 'degC', prefixes: 'num' }],
  },
  {
    symbol: 'C',
    measures: 'a charge',
    print: 'C',
    scale: 'fpnumk',
    offers: ['mAh', 'uC'],
    written: [
      { as: 'C', prefixes: 'fpnumk' },
      { as: 'Ah', prefixes: 'num', factor: 3600 },
    ],
  },
  {
    symbol: 'W',
    measures: 'a power',
    print: 'W',
    scale: 'pnumk',
    offers: ['mW', 'uW'],
    written: [{ as: 'W', prefixes: 'pnumk' }],
  },
  {
    symbol: 'J',
    measures: 'an energy',
    print: 'J',
    scale: 'fpnumkM',
    offers: ['J', 'mJ'],
    written: [
      { as: 'J', prefixes: 'fpnumkM' },
      { as: 'Wh', prefixes: 'numk', factor: 3600 },
    ],
  },
  {
    symbol: 'm',
    measures: 'a length',
    print: 'm',
    scale: 'numk',
    offers: ['m', 'mm'],
    written: [{ as: 'm', prefixes: 'numck' }, { as: 'metre metres' }],
  },
  {
    symbol: 'LSB',
    measures: 'a number of code widths',
    print: 'LSB',
    scale: '',
    offers: ['LSB'],
    written: [{ as: 'LSB lsb' }],
  },
  {
    symbol: 'bit',
    measures: 'a number of bits',
    print: 'bit',
    scale: '',
    offers: ['bits'],
    written: [{ as: 'bit bits' }],
  },
  {
    symbol: 'cycle',
    measures: 'a number of clock cycles',
    print: 'cycle',
    scale: '',
    offers: ['cycles'],
    written: [{ as: 'cycle cycles' }],
  },
  {
    symbol: '1',
    measures: 'a ratio',
    print: '',
    scale: '',
    offers: ['%', 'ppm'],
    written: [
      { as: '%', exponent: -2 },
      { as: 'ppm', exponent: -6 },
    ],
  },
];

/** What a written unit is worth: factor·10^exponent of `unit`. */
export interface WrittenUnit {
  readonly unit: Unit;
  readonly factor: number;
  readonly exponent: number;
}

/** Every way of writing a unit, with what it is worth. */
export const writtenUnits: readonly (readonly [string, WrittenUnit])[] = units.flatMap((unit) =>
  unit.written.flatMap(({ as, prefixes = '', factor = 1, exponent = 0 }) =>
    as
      .split(' ')
      .flatMap((spelling) =>
        ['', ...prefixes].map(
          (p) =>
            [
              p + spelling,
              { unit, factor, exponent: exponent + (p === '' ? 0 : prefixExponent[p]!) },
            ] as const,
        ),
      ),
  ),
);

const bySpelling = new Map(writtenUnits);

/** Text with one spelling for each letter that has several: micro u, ohm, degC, the hyphen as minus. */
export const plain = (text: string): string =>
  text
    .replace(/[µμ]/g, 'u')
    .replace(/[\u03a9\u2126]/g, 'ohm')
    .replace(/\u2103|°C/g, 'degC')
    .replace(/\u2212/g, '-');

/**
 * What a unit of somebody's own may look like: a letter or one of µ Ω ° % ‰ first, then up to eleven more, digits and / ^ · _ - among
 * them, as bar, %RH, mg/m3.
 */
export const ownUnitPattern = '^[A-Za-zµμΩ°%‰][A-Za-z0-9µμΩ°%‰²³/^·_-]{0,11}$';

const own = new RegExp(ownUnitPattern);

/** The text of a unit that is asked for as somebody's own, {bar} as bar; undefined where it is none. */
export function ownUnit(symbol: string): string | undefined {
  const text = /^\{(.*)\}$/.exec(symbol)?.[1];
  return text !== undefined && own.test(text) ? text : undefined;
}

/** A unit as text for people and machines: a unit of somebody's own without its braces. */
export const unitText = (symbol: string): string => ownUnit(symbol) ?? symbol;

/** The unit of a symbol, as asked for; undefined for none. */
export const unitOf = (symbol: string): Unit | undefined => units.find((u) => u.symbol === symbol);

/** What a unit written in plain letters is worth; undefined if none is written so. */
export const writtenUnit = (text: string): WrittenUnit | undefined => bySpelling.get(text);

/** The spelling nearest to one that is not known, those of the unit asked for first. */
export function nearestSpelling(text: string, asked?: Unit): string {
  const known = [...writtenUnits].sort(([, a], [, b]) => Number(b.unit === asked) - Number(a.unit === asked));
  return nearest(
    text,
    known.map(([spelling]) => spelling),
  )!;
}

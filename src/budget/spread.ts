/**
 * Spread: how far an input quantity may be from its estimate, stated as a standard uncertainty or as limits with a distribution.
 *
 * In comes the statement as it was written; out go its standard uncertainty, its limit and its degrees of freedom. The distributions
 * are those of [GUM] 4.3.
 */
import { choice, maybe, named, notNegative, type Rule, refusal } from '../numbers/guard.ts';

/** Distribution between two limits. */
export type LimitDistribution = 'rectangular' | 'triangular' | 'arcsine';

/** A spread stated by a standard uncertainty, of a normal distribution. */
export interface StandardSpread {
  /** Standard uncertainty u, ≥ 0. */
  readonly standardUncertainty: number;
  /** Degrees of freedom ν of u, from 1; 'any' or absent where u is exactly known. */
  readonly degreesOfFreedom?: number | 'any' | undefined;
}

/** A spread stated by limits at equal distances. */
export interface LimitSpread {
  /** Half-width a of the interval, ≥ 0. */
  readonly halfWidth: number;
  /** Distribution within the limits. */
  readonly distribution: LimitDistribution;
  /** Degrees of freedom ν of the standard uncertainty, from 1; 'any' or absent where the limits are exactly known. */
  readonly degreesOfFreedom?: number | 'any' | undefined;
}

/** Either statement of a spread. */
export type Spread = StandardSpread | LimitSpread;

/** A spread in the terms of a budget. */
export interface ReadSpread {
  readonly distribution: 'normal' | LimitDistribution;
  /** Standard uncertainty u. */
  readonly standardUncertainty: number;
  /** What a worst case counts: the half-width, or 3u for a normal distribution. */
  readonly limit: number;
  /** Degrees of freedom; Infinity where exactly known. */
  readonly degreesOfFreedom: number;
}

/** Square of half-width over standard uncertainty, [GUM] 4.3.7, 4.3.9 and H.1.3.4. */
const divisorSquare = { rectangular: 3, triangular: 6, arcsine: 2 };

const freedom: Rule<number | 'any'> = {
  allowed: "numbers from 1 or 'any'",
  keeps: (v): v is number | 'any' => v === 'any' || (typeof v === 'number' && v >= 1),
};

/** The rules of a spread's fields, to be joined with those of whatever carries the spread. */
export const spreadShape = {
  standardUncertainty: maybe(notNegative('')),
  halfWidth: maybe(notNegative('')),
  distribution: maybe(choice(['rectangular', 'triangular', 'arcsine'])),
  degreesOfFreedom: maybe(freedom),
};

/** The spread that fields read by `spreadShape` state; `place` names it in an error. */
export function spreadOf(
  place: string,
  fields: { [K in keyof typeof spreadShape]?: unknown } & {
    standardUncertainty?: number | undefined;
    halfWidth?: number | undefined;
    distribution?: LimitDistribution | undefined;
    degreesOfFreedom?: number | 'any' | undefined;
  },
): ReadSpread {
  const { standardUncertainty, halfWidth, distribution, degreesOfFreedom = 'any' } = fields;
  const nu = degreesOfFreedom === 'any' ? Number.POSITIVE_INFINITY : degreesOfFreedom;
  if ((standardUncertainty === undefined) === (halfWidth === undefined)) {
    const got = standardUncertainty === undefined ? 'neither' : 'both';
    throw new RangeError(`${place}: got ${got}; allowed one of standardUncertainty or halfWidth`);
  }
  if (standardUncertainty !== undefined) {
    if (distribution !== undefined) {
      throw new RangeError(refusal(`${place}.distribution`, distribution, 'only with halfWidth'));
    }
    return {
      distribution: 'normal',
      standardUncertainty,
      limit: 3 * standardUncertainty,
      degreesOfFreedom: nu,
    };
  }
  if (distribution === undefined) {
    named(place, { distribution: choice(['rectangular', 'triangular', 'arcsine']) }, { distribution });
  }
  const kind = distribution as LimitDistribution;
  const a = halfWidth as number;
  return {
    distribution: kind,
    standardUncertainty: a / Math.sqrt(divisorSquare[kind]),
    limit: a,
    degreesOfFreedom: nu,
  };
}

/**
 * Influences: what may be off on a board, as a worksheet states it, and the list that gathers them along the chain.
 */
import type { LimitDistribution } from '../budget/spread.ts';
import type { Quantity } from './schema/field.ts';
import { fieldAt } from './schema/lookup.ts';
import { worksheetSchema } from './schema/worksheet.ts';

/** Something that moves a reading away from the measurand. */
export interface Influence {
  readonly name: string;
  /** Worksheet path that it comes from; of the profile under `converter`. */
  readonly path: string;
  /** 'normal' by its standard uncertainty, the others by half-widths. */
  readonly distribution: 'normal' | LimitDistribution;
  /** Standard uncertainty where normal, else half-width, in `unit`, ≥ 0; it may change over the range. */
  readonly size: (measurand: number) => number;
  /** Unit of `size`: 1 (a share), LSB (native), ohm, V, A, or that of the measurand's differences. */
  readonly unit: string;
  /** Of the size, from 1; 'any' where it is taken as known. */
  readonly degreesOfFreedom: number | 'any';
  /**
   * What a calibration sees of it: 'fixed' is the same at its points and in use; 'places' differs from one place of the range to
   * the next; 'afresh' differs from one reading to the next, or between the bench and the place of use.
   */
  readonly stays: 'fixed' | 'places' | 'afresh';
}

/** How far each influence is off, in units of its size, in the order of the list. */
export type Deviations = ArrayLike<number>;

/** Where in the deviations an influence stands. */
export type Deviation = (deviations: Deviations) => number;

/** An input without a spread, or an error that the worksheet leaves out, which therefore is counted as exact. */
export interface Uncounted {
  readonly path: string;
  readonly label: string;
}

/** Degrees of freedom of a figure that is assumed: known to a quarter. @see [GUM] G.4.2, eq. (G.3) */
export const assumedFreedom = 8;

/** Degrees of freedom by provenance. */
export const freedomOf = ({ from }: Pick<Quantity, 'from'>): number | 'any' =>
  from === 'assumed' ? assumedFreedom : 'any';

const none: Deviation = () => 0;

/** The list of a board's influences while it is gathered. */
export class Influences {
  readonly list: Influence[] = [];
  readonly uncounted: Uncounted[] = [];

  /** Adds an influence; what comes back picks its deviation. */
  add(influence: Influence): Deviation {
    const place = this.list.push(influence) - 1;
    return (deviations) => deviations[place]!;
  }

  /** An influence of one size over the whole range, rectangular; nothing where it is 0. */
  limits(
    name: string,
    path: string,
    { size, unit, ...rest }: { size: number; unit: string } & Pick<Influence, 'degreesOfFreedom' | 'stays'>,
  ): Deviation {
    if (size === 0) return none;
    return this.add({ name, path, distribution: 'rectangular', size: () => size, unit, ...rest });
  }

  /** Notes what no size is given of, though it is off on any board. */
  leaveOut(path: string, label: string): void {
    this.uncounted.push({ path, label });
  }

  /**
   * The spread of an input, fixed on the board: as a share of it, or in its own unit. An input without one is noted as uncounted.
   * What comes back is by how much the input is off.
   */
  spread(path: string, input: Quantity | undefined, as: 'share' | 'unit', of?: string): Deviation {
    if (input === undefined) return none;
    const label = of ?? fieldAt(worksheetSchema, path)!.label;
    if (input.spread === undefined) {
      this.leaveOut(path, label);
      return none;
    }
    const size = as === 'share' ? input.spread / Math.abs(input.value || 1) : input.spread;
    // Of a temperature, the spread is a difference.
    const unit = as === 'share' ? '1' : input.unit === 'degC' ? 'K' : input.unit;
    const deviation = this.limits(label, path, {
      size,
      unit,
      degreesOfFreedom: freedomOf(input),
      stays: 'fixed',
    });
    return (deviations) => size * deviation(deviations);
  }
}

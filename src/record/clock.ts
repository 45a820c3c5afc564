/**
 * Clock of a recorded file: the rate that its column of times shows, and where it jumps.
 *
 * Times come in, row by row; the rate goes out, and rows that come late or do not come after the one before.
 */

/** Steps whose median is the usual one. */
const learning = 64;
/** A step longer than so many usual ones is a gap. */
const late = 1.5;

/** Follows the column of times. */
export class RecordClock {
  private previous = Number.NaN;
  private usual = Number.NaN;
  private readonly early: { step: number; line: number }[] = [];
  private steps = 0;
  private span = 0;
  private readonly jumped: (line: number) => void;

  /** `jumped` is told of each line whose time does not follow from the one before. */
  constructor(jumped: (line: number) => void) {
    this.jumped = jumped;
  }

  /** Takes the time of a row. */
  tick(time: number, line: number): void {
    const step = time - this.previous;
    this.previous = time;
    if (step > 0 && step <= late * this.usual) {
      this.steps++;
      this.span += step;
    } else if (Number.isNaN(this.usual)) {
      if (!Number.isNaN(step) && this.early.push({ step, line }) === learning) this.settle();
    } else this.jumped(line);
  }

  /** Takes the median of the steps so far as the usual one, and judges them by it. */
  private settle(): void {
    const sorted = this.early.map(({ step }) => step).sort((a, b) => a - b);
    const median = sorted[sorted.length >> 1];
    if (median !== undefined && median > 0) this.usual = median;
    for (const { step, line } of this.early.splice(0)) {
      if (step > 0 && step <= late * this.usual) {
        this.steps++;
        this.span += step;
      } else this.jumped(line);
    }
  }

  /** Rows per unit of the column, over the steps that are no jumps; 'none' where there is none. */
  rate(): number | 'none' {
    if (Number.isNaN(this.usual)) this.settle();
    return this.span > 0 ? this.steps / this.span : 'none';
  }
}

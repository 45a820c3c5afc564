/**
 * Effective bits against ratio, by really averaging a record: what the board's own noise makes of oversampling, not what white noise
 * would.
 *
 * Codes of a still input come in, in pieces; for every ratio 1, 2, 4 … out goes the scatter of the averaged results and what it is
 * worth in bits. Sums of 2·R codes are sums of two sums of R, so all ratios are had in one pass.
 */
import { accumulate } from '../chain/averaging/accumulate.ts';
import { named, or, whole } from '../numbers/guard.ts';
import { codeLimits, codesRule } from './codes.ts';
import { ratio as quotient } from './ratio.ts';
import { CodeSummer } from './sums.ts';

/** What averaging R codes of a record made of it. LSB are native ones. */
export interface AveragedBits {
  /** Oversampling ratio R. */
  readonly ratio: number;
  /** Averaged results in the record. */
  readonly results: number;
  /** Experimental standard deviation of the results, LSB; 0 where all are equal. */
  readonly standardDeviation: number;
  /** That of R = 1 over √R: what it would be if the noise were white, LSB. */
  readonly whiteDeviation: number;
  /** N − log2(√12·standard deviation), bits, uncapped; 'any' where all results are equal. */
  readonly effectiveBits: number | 'any';
  /** Standard uncertainty of the effective bits by the number of results alone, bits. */
  readonly uncertaintyBits: number;
}

/** Takes a record in pieces. */
export interface AveragedBitsStream {
  /** Takes the next codes: whole numbers that fit N bits. */
  add(codes: ArrayLike<number>): void;
  /** One row for each ratio that at least two results can be had of. */
  rows(): AveragedBits[];
}

/** Codes that pass through all levels at once. */
const piece = 4096;
/** Widest sum that `accumulate` keeps, bits. */
const widest = 31;

/** Sums of R codes as they come: their own sums, and the one that waits for its partner. */
interface Level {
  readonly summer: CodeSummer;
  waiting: number | undefined;
}

/**
 * Effective bits against ratio of a record that comes in pieces.
 *
 * @param bits - native bits N, 1 … 30
 * @param largest - largest ratio, 1 … 65536; 65536 unless given. Sums are kept in 31 bits, so ratios end at 2^(30 − N)
 * @returns a stream to add codes to
 * @throws RangeError for an argument outside its range
 *
 * averagedBitsStream({ bits: 12 }).rows() // => []
 */
export function averagedBitsStream(given: { bits: number; largest?: number }): AveragedBitsStream {
  const shape = { bits: whole(1, widest - 1), largest: or(whole(1, 65536), 65536) };
  const { bits, largest } = named('averagedBitsStream', shape, given);
  const { lowest, highest } = codeLimits(bits);
  const depth = Math.min(Math.floor(Math.log2(largest)), widest - 1 - bits);
  const levels: Level[] = Array.from({ length: depth + 1 }, () => ({
    summer: new CodeSummer(false),
    waiting: undefined,
  }));
  /** Sums of one level; their pairs go up to the next. */
  const pass = (sums: Int32Array, at: number): void => {
    const level = levels[at]!;
    level.summer.add(sums);
    if (at === depth) return;
    const { waiting } = level;
    let whole = sums;
    if (waiting !== undefined) {
      whole = new Int32Array(sums.length + 1);
      whole[0] = waiting;
      whole.set(sums, 1);
    }
    level.waiting = whole.length % 2 ? whole[whole.length - 1] : undefined;
    const pairs = accumulate({
      codes: whole,
      ratio: 2,
      shift: 0,
      rounding: 'truncate',
      registerBits: widest,
      onOverflow: 'saturate',
    });
    if (pairs.length > 0) pass(pairs, at + 1);
  };

  return {
    add(codes) {
      for (let from = 0; from < codes.length; from += piece) {
        const part = new Int32Array(Math.min(piece, codes.length - from));
        for (let i = 0; i < part.length; i++) {
          const code = codes[from + i]!;
          if (code < lowest || code > highest) {
            throw new RangeError(`averagedBitsStream.add: got code ${code}; allowed ${lowest} … ${highest}`);
          }
          // Raised above 0, since a register holds no negative sums; the scatter stays.
          part[i] = code - lowest;
        }
        pass(part, 0);
      }
    },
    rows() {
      const rows: AveragedBits[] = [];
      for (const [log, { summer }] of levels.entries()) {
        const { count, sum, squares } = summer.sums();
        if (count < 2) break;
        const R = 2 ** log;
        const spread = BigInt(count) * squares - sum * sum;
        const standardDeviation =
          spread === 0n ? 0 : Math.sqrt(quotient(spread, BigInt(count) * BigInt(count - 1))) / R;
        rows.push({
          ratio: R,
          results: count,
          standardDeviation,
          whiteDeviation: (rows[0]?.standardDeviation ?? standardDeviation) / Math.sqrt(R),
          effectiveBits: spread === 0n ? 'any' : bits - Math.log2(Math.sqrt(12) * standardDeviation),
          uncertaintyBits: 1 / (Math.LN2 * Math.sqrt(2 * (count - 1))),
        });
      }
      return rows;
    },
  };
}

/**
 * Effective bits against ratio of a record.
 *
 * Beside each stands what white noise would give. Where the averaged results scatter more, the noise hangs together (flicker, hum,
 * drift) and more averaging buys less; where they all but stop to scatter there was too little noise, and the effective bits are those
 * of one input only: the error that stands still is not seen.
 *
 * @param codes - record of M codes of a still input, whole numbers that fit N bits, M from 2; not modified
 * @param bits - native bits N, 1 … 30
 * @param largest - largest ratio, 1 … 65536; 65536 unless given. Sums are kept in 31 bits, so ratios end at 2^(30 − N)
 * @returns one row for each ratio 1, 2, 4 … that at least two results can be had of
 * @throws RangeError for an argument outside its range
 *
 * averagedBits({ codes: [1, 3, 1, 3], bits: 12 })[1]?.effectiveBits // => 'any'
 */
export function averagedBits(given: {
  codes: ArrayLike<number>;
  bits: number;
  largest?: number;
}): AveragedBits[] {
  const { codes, ...rest } = named(
    'averagedBits',
    { codes: codesRule(2), bits: whole(1, widest - 1), largest: or(whole(1, 65536), 65536) },
    given,
  );
  const stream = averagedBitsStream(rest);
  stream.add(codes);
  return stream.rows();
}

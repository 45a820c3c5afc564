/**
 * Curve: what an integer conversion must give, at every code. In come the measurand of a code and the codes to convert; out go its
 * values in steps of the result, turned so that they rise.
 *
 * Where there are more codes than one would walk through, low bits are dropped: a block of codes shares one value, and since the curve
 * is monotone, its two ends hold the largest error of the block.
 */

/** The curve in steps, block by block; a block is one code unless bits are dropped. */
export interface Curve {
  /** Low bits of the code that are dropped. */
  readonly drop: number;
  /** Codes shifted right by `drop`: the first and the last block. */
  readonly first: number;
  readonly last: number;
  /** 1 where the measurand rises with the code, −1 where it falls: z = sign·measurand·scale. */
  readonly sign: 1 | -1;
  /** z at the lowest and at the highest code of each block, from `first` on. */
  readonly lowest: Float64Array;
  readonly highest: Float64Array;
}

/** Most blocks that a curve has. */
const mostBlocks = 2 ** 20;

/** z at the middle of a block. */
export const middle = ({ first, lowest, highest }: Curve, block: number): number =>
  (lowest[block - first]! + highest[block - first]!) / 2;

/** Most places at which a curve is looked at to lay arithmetic along it; what comes of it is then proved at every block. */
const mostPlaces = 512;

/** The middle between the furthest that the curve lies above and under `other`, looked at in places and at both ends. */
export function midwayOver(curve: Curve, other: (block: number) => number): number {
  const { first, last } = curve;
  const stride = Math.max(1, Math.floor((last - first) / mostPlaces));
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  const look = (block: number): void => {
    const rest = middle(curve, block) - other(block);
    if (rest < least) least = rest;
    if (rest > most) most = rest;
  };
  for (let block = first; block <= last; block += stride) look(block);
  look(last);
  return (least + most) / 2;
}

/**
 * The curve of a conversion.
 *
 * @throws RangeError where the measurand does not keep rising or falling
 */
export function curveOf(
  caller: string,
  measurandOf: (code: number) => number,
  lowestCode: number,
  highestCode: number,
  scale: number,
): Curve {
  let drop = 0;
  while (Math.floor(highestCode / 2 ** drop) - Math.floor(lowestCode / 2 ** drop) >= mostBlocks) drop++;
  const width = 2 ** drop;
  const first = Math.floor(lowestCode / width);
  const last = Math.floor(highestCode / width);
  const sign = measurandOf(highestCode) < measurandOf(lowestCode) ? -1 : 1;
  const z = (code: number): number => sign * measurandOf(code) * scale;
  const lowest = new Float64Array(last - first + 1);
  const highest = drop === 0 ? lowest : new Float64Array(last - first + 1);
  let before = Number.NEGATIVE_INFINITY;
  for (let block = first; block <= last; block++) {
    const from = z(Math.max(block * width, lowestCode));
    const to = drop === 0 ? from : z(Math.min(block * width + width - 1, highestCode));
    if (!(from > before && to >= from)) {
      throw new RangeError(
        `${caller}.measurandOf: got a curve that is flat or turns at code ${block * width}; allowed one that keeps rising or falling`,
      );
    }
    lowest[block - first] = from;
    highest[block - first] = to;
    before = to;
  }
  return { drop, first, last, sign, lowest, highest };
}

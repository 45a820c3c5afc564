/**
 * Seeded random numbers: the same seed gives the same numbers, everywhere.
 *
 * In comes a seed; out come uniform and normal deviates, one at a time or filled into an array, and further independent streams.
 * The generator is xoshiro128** [TOMS2021], its state filled by splitmix; normal deviates are by the ziggurat of 256 layers
 * [JSS2000], with 53 bits of magnitude and all constants computed at start.
 */
import { named, or, whole } from './guard.ts';
import { normalTail } from './normal.ts';
import { rootBetween } from './roots.ts';

/** A stream of random numbers. */
export interface RandomStream {
  /** The next uniform deviate, 0 ≤ u < 1, a multiple of 2⁻⁵³. */
  uniform(): number;
  /** The next normal deviate, mean 0, standard deviation 1. */
  normal(): number;
  /** Fills an array with the normal deviates that as many calls of `normal` would give; returns it. */
  fillNormal(out: Float64Array): Float64Array;
  /** The independent stream of number n, 0 … 2³² − 1; it depends on the seed and n, not on what was drawn. */
  fork(n: number): RandomStream;
}

const mask = (1n << 64n) - 1n;
const golden = 0x9e3779b97f4a7c15n;

/** The mixing of splitmix: a bijection of 64 bits. */
function mixed(x: bigint): bigint {
  let z = x & mask;
  z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask;
  z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask;
  return z ^ (z >> 31n);
}

/** The first two outputs of splitmix64, as the four words of a state. */
export function splitmixState(seed: bigint): Int32Array {
  const first = mixed(seed + golden);
  const second = mixed(seed + 2n * golden);
  return Int32Array.from([first, first >> 32n, second, second >> 32n], (w) => Number(BigInt.asIntN(32, w)));
}

/** The next 32 bits of xoshiro128**, signed; moves the state on. */
export function nextBits(s: Int32Array): number {
  const s1 = s[1]!;
  const product = Math.imul(s1, 5);
  const result = Math.imul((product << 7) | (product >>> 25), 9);
  const a = s[2]! ^ s[0]!;
  const b = s[3]! ^ s1;
  s[1] = s1 ^ a;
  s[0] = s[0]! ^ b;
  s[2] = a ^ (s1 << 9);
  s[3] = (b << 11) | (b >>> 21);
  return result;
}

const uniformOf = (s: Int32Array): number => ((nextBits(s) >>> 5) * 2 ** 26 + (nextBits(s) >>> 6)) * 2 ** -53;

const layers = 256;
const curve = (x: number): number => Math.exp(-0.5 * x * x);

/** The area of a layer whose right edge r the tail begins at: a rectangle under the curve, and the tail. */
const areaFor = (r: number): number => r * curve(r) + Math.sqrt(2 * Math.PI) * normalTail(r);

/** The right edges of the layers, from the lowest up, and the height they reach, for a tail that begins at r. */
function stack(r: number): { x: Float64Array; top: number } {
  const area = areaFor(r);
  const x = new Float64Array(layers + 1);
  x[0] = area / curve(r);
  x[1] = r;
  let top = curve(r);
  for (let i = 1; i < layers && top < 1; i++) {
    top += area / x[i]!;
    x[i + 1] = Math.sqrt(Math.max(0, -2 * Math.log(top)));
  }
  x[layers] = 0;
  return { x, top };
}

/** Where the tail begins, so that 256 layers of one area end at the curve's top. @see [JSS2000] */
export const tailEdge = rootBetween((r) => stack(r).top - 1, 3.5, 4);
/** The area of each layer under exp(−x²/2). */
export const layerArea = areaFor(tailEdge);

const { x: edge } = stack(tailEdge);
/** Width of each layer for a magnitude of one unit of 2⁻⁵³. */
const width = edge.slice(0, layers).map((x) => x * 2 ** -53);
/** Magnitudes below this lie under the curve for certain. */
const inside = Float64Array.from({ length: layers }, (_, i) =>
  Math.floor((edge[i + 1]! / edge[i]!) * 2 ** 53),
);

/** The 53 bits of magnitude of two draws; the low 9 bits of the first choose layer and sign. */
const magnitudeOf = (bits: number, more: number): number => (bits >>> 9) * 2 ** 30 + (more >>> 2);

/** A normal deviate from a first draw of layer, sign and magnitude; draws on where that does not decide. */
function deviate(s: Int32Array, firstBits: number, firstMagnitude: number): number {
  let bits = firstBits;
  let magnitude = firstMagnitude;
  for (;;) {
    const layer = bits & 255;
    const sign = bits & 256 ? -1 : 1;
    const x = magnitude * width[layer]!;
    if (magnitude < inside[layer]!) return sign * x;
    if (layer === 0) {
      // Beyond the edge: an exponential deviate, accepted in proportion to the normal density.
      let beyond: number;
      do beyond = -Math.log(1 - uniformOf(s)) / tailEdge;
      while (-2 * Math.log(1 - uniformOf(s)) < beyond * beyond);
      return sign * (tailEdge + beyond);
    }
    const low = curve(edge[layer]!);
    const high = curve(edge[layer + 1]!);
    if (low + uniformOf(s) * (high - low) < curve(x)) return sign * x;
    bits = nextBits(s);
    magnitude = magnitudeOf(bits, nextBits(s));
  }
}

/** Fills from the state; the state is held in locals, as it is what the loop spends its time on. */
function fill(s: Int32Array, out: Float64Array): Float64Array {
  let s0 = s[0]!;
  let s1 = s[1]!;
  let s2 = s[2]!;
  let s3 = s[3]!;
  for (let n = 0; n < out.length; n++) {
    let product = Math.imul(s1, 5);
    const bits = Math.imul((product << 7) | (product >>> 25), 9);
    let a = s2 ^ s0;
    let b = s3 ^ s1;
    let t = s1 << 9;
    s1 ^= a;
    s0 ^= b;
    s2 = a ^ t;
    s3 = (b << 11) | (b >>> 21);
    product = Math.imul(s1, 5);
    const more = Math.imul((product << 7) | (product >>> 25), 9);
    a = s2 ^ s0;
    b = s3 ^ s1;
    t = s1 << 9;
    s1 ^= a;
    s0 ^= b;
    s2 = a ^ t;
    s3 = (b << 11) | (b >>> 21);
    const layer = bits & 255;
    const magnitude = magnitudeOf(bits, more);
    if (magnitude < inside[layer]!) {
      const x = magnitude * width[layer]!;
      out[n] = bits & 256 ? -x : x;
    } else {
      s[0] = s0;
      s[1] = s1;
      s[2] = s2;
      s[3] = s3;
      out[n] = deviate(s, bits, magnitude);
      s0 = s[0]!;
      s1 = s[1]!;
      s2 = s[2]!;
      s3 = s[3]!;
    }
  }
  s[0] = s0;
  s[1] = s1;
  s[2] = s2;
  s[3] = s3;
  return out;
}

function stream(seed: bigint): RandomStream {
  const s = splitmixState(seed);
  return {
    uniform: () => uniformOf(s),
    normal: () => {
      const bits = nextBits(s);
      return deviate(s, bits, magnitudeOf(bits, nextBits(s)));
    },
    fillNormal: (out) => fill(s, out),
    fork: (n) => {
      const { n: number } = named('fork', { n: whole(0, 2 ** 32 - 1) }, { n });
      return stream(mixed(mixed(seed) ^ (BigInt(number + 1) * golden)));
    },
  };
}

/**
 * A stream of random numbers from a seed.
 *
 * @param seed - whole number 0 … 2⁵³ − 1, default 0
 * @returns the stream
 * @throws RangeError for a seed outside its range
 * @see [TOMS2021]; [JSS2000]
 *
 * @example
 * seededRandom(7).uniform() === seededRandom(7).uniform() // => true
 */
export function seededRandom(seed = 0): RandomStream {
  const given = named('seededRandom', { seed: or(whole(0, Number.MAX_SAFE_INTEGER), 0) }, { seed });
  return stream(BigInt(given.seed));
}

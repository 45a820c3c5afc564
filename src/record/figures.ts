/**
 * Figures of a record: everything that is told of recorded codes, taken in one pass and constant memory.
 *
 * Codes come in, in pieces; out go plain data: summary, Allan deviation with its band, autocorrelation, effective bits against ratio,
 * spectra, envelope, and where the record is a sine, its tone and fit. Times and frequencies are those of one code a second;
 * `figuresAtRate` turns them into those of the board.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { choice, named, or, positive, type Rule } from '../numbers/guard.ts';
import { type AllanBand, allanConfidence } from './allanConfidence.ts';
import { allanStream } from './allanStream.ts';
import { type Autocorrelation, autocorrelationStream } from './autocorrelation.ts';
import { type AveragedBits, averagedBitsStream } from './averagedBits.ts';
import { averagedSpectrum, spectrumStream } from './averagedSpectrum.ts';
import { type Envelope, envelopeStream } from './envelope.ts';
import { type SineFit, sineFit } from './sineFit.ts';
import { type Spectrum, spectrum } from './spectrum.ts';
import { type CodeSummary, summaryStream } from './summary.ts';
import { type Tone, tone } from './tone.ts';

/** An Allan deviation with its band, and how densely its spans were laid. */
export interface RecordAllanPoint extends AllanBand {
  /** Spans start every so many codes; 1 is full overlap. */
  readonly stride: number;
}

/** A sine in the record. */
export interface RecordedSine {
  /** From the spectrum of the first codes, at most 65536. */
  readonly tone: Tone;
  /** Four-parameter fit to the same codes. */
  readonly fit: SineFit;
  /** Codes that both were told from. */
  readonly count: number;
}

/** How the codes of a record hang together in time. */
export interface Dependence {
  /** Overlapping Allan deviation at octave factors; none for a single code. */
  readonly allan: readonly RecordAllanPoint[];
  /** 'none' for a single code. */
  readonly autocorrelation: Autocorrelation | 'none';
}

/** All that is told of a record. LSB are those of the codes. */
export interface RecordFigures extends Dependence {
  /** Number of bits N that the codes were taken to have. */
  readonly bits: number;
  /** Codes per second, Hz. */
  readonly rate: number;
  readonly summary: CodeSummary;
  /** Effective bits against ratio, by averaging the codes; none where N is above 30. */
  readonly averaged: readonly AveragedBits[];
  /** Averaged spectrum, Hann; 'none' for fewer than 16 codes. */
  readonly spectrum: Spectrum | 'none';
  /** The finest spectrum there is, to tell lines apart: of the first codes, at most 65536; 'none' as above. */
  readonly fine: Spectrum | 'none';
  readonly envelope: Envelope;
  /** The sine, where most of the record is one; 'none' where it is not. */
  readonly sine: RecordedSine | 'none';
}

/** Takes a record in pieces. */
export interface RecordFiguresStream {
  /** Takes the next codes: whole numbers that fit N bits. */
  add(codes: ArrayLike<number>): void;
  /** Figures so far, at one code a second; 'none' before the first code. `found` is the dependence that was taken elsewhere. */
  figures(found?: Dependence): RecordFigures | 'none';
}

/** Takes a record in pieces, for how its codes hang together alone. */
export interface DependenceStream {
  /** Takes the next codes: whole numbers. */
  add(codes: ArrayLike<number>): void;
  /** What was found so far, at one code a second. */
  dependence(): Dependence;
}

/** Codes that are kept from the beginning of the record. */
const kept = 2 ** 16;
/** Codes in a segment of the averaged spectrum of a long record. */
const segment = 2 ** 14;
/** Codes handed to all parts at a time. */
const piece = 2 ** 14;
/** Stretches of the envelope. */
const stretches = 512;
/** Share of the variance from which on a record is a sine, and the least amplitude as a part of the range. */
const sineShare = 0.9;
const leastAmplitude = 1 / 32;

const powerOfTwo = (most: number): number => 2 ** Math.floor(Math.log2(most));

/** The sine that the first codes hold; 'none' if they are no sine. */
function sineIn(head: Float64Array, bits: number, standardDeviation: number): RecordedSine | 'none' {
  const count = powerOfTwo(head.length);
  if (count < 64 || standardDeviation < (leastAmplitude * 2 ** bits) / Math.SQRT2) return 'none';
  const values = head.subarray(0, count);
  const found = tone({ spectrum: spectrum({ values, rate: 1, window: 'blackman-harris' }) });
  if (found.amplitude ** 2 / 2 < sineShare * standardDeviation ** 2) return 'none';
  if (found.amplitude < leastAmplitude * 2 ** bits) return 'none';
  return { tone: found, fit: sineFit({ values, rate: 1 }), count };
}

/**
 * How the codes of a record that comes in pieces hang together: the half of its figures that a second thread may take.
 *
 * @returns a stream to add codes to
 *
 * recordDependence().dependence().allan // => []
 */
export function recordDependence(): DependenceStream {
  const allan = allanStream({ rate: 1 });
  const correlation = autocorrelationStream({});
  let count = 0;
  return {
    add(codes) {
      allan.add(codes);
      correlation.add(codes);
      count += codes.length;
    },
    dependence() {
      const points = allan.points();
      const bands =
        points.length === 0
          ? []
          : allanConfidence({ points, recordLength: count, kind: 'overlapping', confidence: 0.95 });
      return {
        allan: bands.map((band, i) => ({ ...band, stride: points[i]!.stride })),
        autocorrelation: correlation.autocorrelation(),
      };
    },
  };
}

/**
 * Figures of a record that comes in pieces.
 *
 * @param bits - number of bits N, 1 … 32
 * @param dependence - 'here', or 'elsewhere' where another stream takes the same codes and what it found is handed to `figures`; 'here' unless given
 * @returns a stream to add codes to
 * @throws RangeError for an argument outside its range
 *
 * recordFigures({ bits: 12 }).figures() // => 'none'
 */
export function recordFigures(given: {
  bits: number;
  dependence?: 'here' | 'elsewhere';
}): RecordFiguresStream {
  const shape = { bits: bitsRule, dependence: or(choice(['here', 'elsewhere']), 'here') };
  const { bits, dependence } = named('recordFigures', shape, given);
  const summary = summaryStream({ bits });
  const own = dependence === 'here' ? recordDependence() : undefined;
  const averaged = bits > 30 ? undefined : averagedBitsStream({ bits });
  const envelope = envelopeStream({ most: stretches });
  const long = spectrumStream({ rate: 1, segmentLength: segment });
  const head = new Float64Array(kept);
  let count = 0;

  const spectra = (): Pick<RecordFigures, 'spectrum' | 'fine'> => {
    if (count < 16) return { spectrum: 'none', fine: 'none' };
    const values = head.subarray(0, Math.min(count, kept));
    const whole = powerOfTwo(values.length);
    return {
      spectrum:
        count > kept
          ? long.spectrum()
          : averagedSpectrum({ values, rate: 1, segmentLength: Math.min(segment, whole / 4) }),
      fine: spectrum({ values: values.subarray(0, whole), rate: 1, window: 'hann' }),
    };
  };

  return {
    add(codes) {
      for (let from = 0; from < codes.length; from += piece) {
        const part = new Float64Array(Math.min(piece, codes.length - from));
        for (let i = 0; i < part.length; i++) part[i] = codes[from + i]!;
        averaged?.add(part);
        summary.add(part);
        own?.add(part);
        envelope.add(part);
        long.add(part);
        if (count < kept) head.set(part.subarray(0, kept - count), count);
        count += part.length;
      }
    },
    figures(found = own?.dependence()) {
      const told = summary.summary();
      if (told === 'none') return 'none';
      if (!found)
        throw new TypeError('figures.found: missing; hand over what was found elsewhere of the same codes');
      return {
        bits,
        rate: 1,
        summary: told,
        ...found,
        averaged: averaged?.rows() ?? [],
        ...spectra(),
        envelope: envelope.envelope(),
        sine: sineIn(head.subarray(0, Math.min(count, kept)), bits, told.standardDeviation),
      };
    },
  };
}

const figuresRule: Rule<RecordFigures> = {
  allowed: 'figures of a record',
  keeps: (value): value is RecordFigures =>
    typeof value === 'object' && value !== null && (value as RecordFigures).rate > 0,
};

/**
 * Figures of a record at the rate that its codes were taken at.
 *
 * @param figures - as taken, at any rate
 * @param rate - codes per second, Hz, above 0
 * @returns the same with times and frequencies at that rate
 * @throws RangeError for an argument outside its range
 *
 * (() => { const s = recordFigures({ bits: 12 }); s.add([1, 2, 1, 2]); return figuresAtRate({ figures: s.figures(), rate: 50 }).allan[0].tau; })() // => 0.02
 */
export function figuresAtRate(given: { figures: RecordFigures; rate: number }): RecordFigures {
  const { figures, rate } = named('figuresAtRate', { figures: figuresRule, rate: positive('Hz') }, given);
  const faster = rate / figures.rate;
  const scaled = (s: Spectrum | 'none'): Spectrum | 'none' =>
    s === 'none'
      ? s
      : {
          ...s,
          frequencies: s.frequencies.map((f) => f * faster),
          binWidth: s.binWidth * faster,
          noiseBandwidth: s.noiseBandwidth * faster,
        };
  const { sine } = figures;
  return {
    ...figures,
    rate,
    allan: figures.allan.map((point) => ({ ...point, tau: point.tau / faster })),
    spectrum: scaled(figures.spectrum),
    fine: scaled(figures.fine),
    sine:
      sine === 'none'
        ? sine
        : {
            ...sine,
            tone: {
              ...sine.tone,
              frequency: sine.tone.frequency * faster,
              spurFrequency: sine.tone.spurFrequency * faster,
              harmonics: sine.tone.harmonics.map((h) => ({ ...h, frequency: h.frequency * faster })),
            },
            fit: { ...sine.fit, frequency: sine.fit.frequency * faster },
          },
  };
}

/**
 * Tone: what the spectrum of a recorded sine says of a converter: noise, distortion, effective bits.
 *
 * A spectrum comes in; powers of signal, harmonics and noise go out, each summed over its own bins. (Noise as total less signal
 * would lose its digits to the signal's.)
 */
import { effectiveBitsFromSinad } from '../chain/quantizing.ts';
import { named, or, whole } from '../numbers/guard.ts';
import { type Spectrum, spectrumRule } from './spectrum.ts';
import { lobeOf } from './windows.ts';

/** One harmonic of the tone. */
export interface Harmonic {
  /** 2 for twice the frequency of the tone, and so on. */
  readonly order: number;
  /** Where it shows, folded into 0 … half the rate, Hz. */
  readonly frequency: number;
  /** Its power over that of the tone, dB. */
  readonly level: number;
}

/** What a tone's spectrum says. Ratios are in dB; 'any' where the lower part is zero. */
export interface Tone {
  /** Frequency of the tone, the middle of its power, Hz. */
  readonly frequency: number;
  /** Amplitude (peak) of the tone, in the unit of the values. */
  readonly amplitude: number;
  /** Signal over noise and distortion, dB. */
  readonly sinadDb: number | 'any';
  /** Signal over noise without the harmonics listed, dB. */
  readonly snrDb: number | 'any';
  /** The harmonics listed over signal, dB (below 0 where they are smaller); 'none' where they have no bin of their own. */
  readonly thdDb: number | 'none';
  /** Signal over the largest spur, dB: a harmonic with all its bins, or any other single bin. */
  readonly sfdrDb: number | 'any';
  /** Where the highest bin of the spur is, Hz. */
  readonly spurFrequency: number;
  /** ENOB by SINAD, bits. Of the tone as it is: below full scale it is lower than what the converter can. */
  readonly effectiveBits: number | 'any';
  /** Harmonics 2, 3 …; those that fold onto the tone or onto 0 Hz are left out. */
  readonly harmonics: readonly Harmonic[];
}

const db = (over: number, under: number): number | 'any' =>
  under === 0 ? 'any' : 10 * Math.log10(over / under);

/**
 * Noise, distortion and effective bits of a recorded sine.
 *
 * The tone is the highest bin with the width of the window's main lobe; bins about 0 Hz are left out. The noise that lies under the
 * tone's own bins is not made up for. What a window lets out beside its main lobe counts as noise: where the record does not hold a whole
 * number of cycles take 'blackman-harris' or 'nuttall', since 'rectangular' then says next to nothing, and 'hann' nothing past 37 dB.
 *
 * @param spectrum - spectrum of the record, or an average
 * @param harmonics - highest order counted as a harmonic, 2 … 100; 6 unless given
 * @returns the figures
 * @throws RangeError for an argument outside its range, or a record without any power
 * @see [IEEE1241] definitions of SINAD, SNR, THD, SFDR (from memory); [MT003]
 *
 * tone({ spectrum: { power: Float64Array.of(0, 0.5, 0, 5e-7, 0), frequencies: Float64Array.of(0, 1, 2, 3, 4), binWidth: 1, noiseBandwidth: 1, coherentGain: 1, window: 'rectangular' } }).thdDb // => -60
 */
export function tone(given: { spectrum: Spectrum; harmonics?: number }): Tone {
  const { spectrum, harmonics } = named(
    'tone',
    { spectrum: spectrumRule, harmonics: or(whole(2, 100), 6) },
    given,
  );
  const { power, binWidth, noiseBandwidth, window } = spectrum;
  const lobe = lobeOf(window);
  const last = power.length - 1;
  /** Who a bin belongs to: 0 nobody, 1 the tone or 0 Hz, n a harmonic. */
  const owner = new Uint8Array(power.length);
  owner.fill(1, 0, lobe + 1);
  let top = Math.min(lobe + 1, last);
  for (let k = top; k <= last; k++) if (power[k]! > power[top]!) top = k;
  if (power[top] === 0) throw new RangeError('tone.spectrum: got no power; allowed a spectrum with a tone');
  owner.fill(1, Math.max(0, top - lobe), top + lobe + 1);
  let signal = 0;
  let moment = 0;
  for (let k = Math.max(lobe + 1, top - lobe); k <= Math.min(last, top + lobe); k++) {
    signal += power[k]!;
    moment += k * power[k]!;
  }
  const middle = moment / signal;
  const places: { order: number; bin: number; sum: number; top: number }[] = [];
  const turns = 2 * (spectrum.frequencies[last]! / binWidth === last ? last : last + 0.5);
  for (let order = 2; order <= harmonics; order++) {
    const raw = (order * middle) % turns;
    const bin = Math.round(Math.min(raw, turns - raw));
    if (bin > last || owner[bin] !== 0) continue;
    places.push({ order, bin, sum: 0, top: bin });
    for (let k = Math.max(0, bin - lobe); k <= Math.min(last, bin + lobe); k++) owner[k] ||= order;
  }
  let noise = 0;
  let distortion = 0;
  let spur = -1;
  for (let k = 0; k <= last; k++) {
    const p = power[k]!;
    const by = owner[k]!;
    if (by === 1) continue;
    if (by === 0) {
      noise += p;
      if (spur < 0 || p > power[spur]!) spur = k;
    } else {
      distortion += p;
      const place = places.find(({ order }) => order === by)!;
      place.sum += p;
      if (owner[place.top] !== by || p > power[place.top]!) place.top = k;
    }
  }
  const sinadDb = db(signal, noise + distortion);
  const width = binWidth / noiseBandwidth;
  // A harmonic between two bins shows less in either than it is: all its bins tell.
  let spurPower = spur < 0 ? 0 : power[spur]!;
  for (const { sum, top } of places) {
    if (spur >= 0 && sum * width <= spurPower) continue;
    spur = top;
    spurPower = sum * width;
  }
  return {
    frequency: middle * binWidth,
    amplitude: Math.sqrt(2 * signal * width),
    sinadDb,
    snrDb: db(signal, noise),
    thdDb: distortion === 0 ? 'none' : 10 * Math.log10(distortion / signal),
    sfdrDb: spur < 0 ? 'any' : db(signal * width, spurPower),
    spurFrequency: Math.max(0, spur) * binWidth,
    effectiveBits: sinadDb === 'any' ? 'any' : effectiveBitsFromSinad({ sinadDb }),
    harmonics: places
      .filter(({ sum }) => sum > 0)
      .map(({ order, bin, sum }) => ({
        order,
        frequency: bin * binWidth,
        level: 10 * Math.log10(sum / signal),
      })),
  };
}

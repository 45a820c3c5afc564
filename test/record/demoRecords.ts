/**
 * The demo records of data/records/, made from the demo worksheets by seeded random numbers: what the board of each would have sent,
 * had it one fault or none. `vitest -u test/record/demoRecords.test.ts` writes them anew.
 */
import { accumulate } from '../../src/chain/averaging/accumulate.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { demo } from '../worksheet/demos.ts';

const quantized = (x: number): number => Math.max(0, Math.min(4095, Math.floor(x + 0.5)));

/** `count` codes of an input that moves, with Gaussian noise. */
function codes(count: number, seed: number, noiseLsb: number, input: (n: number) => number): number[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, (_, n) => quantized(input(n) + noiseLsb * random.normal()));
}

const lines = (values: readonly (string | number)[]): string => `${values.join('\n')}\n`;

/** The beehive at 34.6 °C, as its worksheet has it: white noise of 0.6 LSB. */
function beehive(): string {
  const { channel, quantizing } = evaluate({ worksheet: demo('beehive') });
  return lines(codes(4096, 1, quantizing.noiseLsb, () => channel.codeOf(34.6)));
}

/** A converter much quieter than the worksheet has it: the codes stick. */
function beehiveQuiet(): string {
  const { channel } = evaluate({ worksheet: demo('beehive') });
  const at = Math.round(channel.codeOf(34.6)) + 0.3;
  return lines(codes(4096, 7, 0.12, () => at));
}

/** The same beside a mains cable, a thousand codes a second, while the nest warms: hum of 1.3 LSB, drift. */
function beehiveHum(): string {
  const { channel, quantizing } = evaluate({ worksheet: demo('beehive') });
  const at = channel.codeOf(34.6);
  const hum = (n: number): number => 1.3 * Math.sin(2 * Math.PI * 50.02e-3 * n + 0.4);
  const found = codes(4096, 2, quantizing.noiseLsb, (n) => at + hum(n) - 3e-4 * n);
  return lines(['time_s,code', ...found.map((code, n) => `${(n / 1000).toFixed(3)},${code}`)]);
}

/** A worse converter: 1.3 LSB, a code that never comes, and a line to the logger that garbles some of it. */
function beehiveMissing(): string {
  const { channel } = evaluate({ worksheet: demo('beehive') });
  const at = Math.round(channel.codeOf(34.6));
  const found = codes(4096, 3, 1.3, () => at + 0.3).map((code) => (code === at + 1 ? at + 2 : code));
  const texts = found.map((code) => `0x${code.toString(16).toUpperCase().padStart(3, '0')}`);
  texts[1000] = '0x7\ufffd3';
  texts[2500] = '0x7FF3';
  texts[2501] = '';
  return lines(['# codes in hexadecimal, input still', ...texts]);
}

/** A sine of 997 Hz over most of the range, with a little of its third harmonic. */
function beehiveSine(): string {
  const { quantizing, sampling } = evaluate({ worksheet: demo('beehive') });
  const turn = 2 * Math.PI * 997 * sampling.interval;
  const sine = (n: number): number => 1800 * Math.sin(turn * n + 1) + 0.5 * Math.sin(3 * (turn * n + 1));
  return lines(codes(4096, 4, quantizing.noiseLsb, (n) => 2047.5 + sine(n)));
}

/** The workbench at 40.003 °C: too quiet for 12 bits, and a little hum. */
function workbench(): string {
  const { channel, quantizing } = evaluate({ worksheet: demo('workbench') });
  const at = Math.round(channel.codeOf(40)) + 0.2;
  const hum = (n: number): number =>
    (50e-6 / quantizing.codeBinWidth) * Math.sin(2 * Math.PI * 50 * 50e-6 * n);
  return lines(codes(8192, 5, quantizing.noiseLsb, (n) => at + hum(n)));
}

/** Averaged results of the cellar, one every second. */
function cellar(): string {
  const { channel, quantizing, averaging } = evaluate({ worksheet: demo('cellar') });
  const { ratio, shift, rounding, registerBits, onOverflow } = averaging;
  const found = codes(1024 * ratio, 6, quantizing.noiseLsb, () => channel.codeOf(5.1));
  const results = accumulate({
    codes: found,
    ratio,
    shift,
    rounding,
    registerBits: Math.min(31, registerBits),
    onOverflow,
  });
  return lines(['n;result', ...Array.from(results, (code, n) => `${n};${code}`)]);
}

/** All of them, by the name of their file. */
export const demoRecords: Readonly<Record<string, () => string>> = {
  'beehive.txt': beehive,
  'beehive-quiet.txt': beehiveQuiet,
  'beehive-hum.csv': beehiveHum,
  'beehive-missing.txt': beehiveMissing,
  'beehive-sine.txt': beehiveSine,
  'workbench.txt': workbench,
  'cellar-averaged.csv': cellar,
};

/** The staircase of the mean transfer curve: whether the noise is enough for averaging. */
import { oversample } from '../../chain/averaging/oversample.ts';
import { meanTransfer } from '../../chain/averaging/staircase.ts';
import { noiseStanding } from '../../worksheet/noiseOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

const claims = {
  enough: 'There is noise enough to average.',
  hardly: 'There is hardly noise enough to average.',
  'too little': 'There is too little noise to average.',
} as const;

/** The mean of many conversions against the input: at this noise, and at too little or enough of it. */
export function staircase({ e, difference }: Told): Section {
  const { quantizing, channel, noise, averaging } = e;
  const standing = noiseStanding(e);
  const here = noise.independentLsb;
  const enough = standing === 'enough';
  const other = here > 0.25 ? 0.15 : 0.4;
  const words = (noise: number): string => `${number(noise)} LSB rms`;
  const line = (noiseLsb: number) =>
    meanTransfer({ noiseLsb, from: -1.5, to: 2.5, points: 161 }).map(
      (p) => [p.inputLsb, p.inputLsb + p.meanErrorLsb] as const,
    );
  const [mine, theirs] = [line(here), line(other)];
  const stays = (rippleLsb: number): string => difference(rippleLsb * channel.worst.perCode);
  const theirRipple = oversample({ bits: quantizing.bits, noiseLsb: other, ratio: 1, shift: 0 }).rippleLsb;
  const follows = { at: 70, place: [-0.6, 1.4], end: 'right' } as const;
  const steps = { at: 110, place: [1.5, -0.5], end: 'left' } as const;
  const axis = { scale: 'linear', from: -1.5, to: 2.5, ticks: [-1, 0, 1, 2] } as const;
  return {
    body: [
      b.plot({
        name: 'staircase',
        claim: claims[standing],
        text: prose`At ${words(here)} the mean ${enough ? 'follows the input' : 'climbs in steps'} and ${averaging.rippleLsb < 1e-9 ? 'nothing of the steps stays' : `${stays(averaging.rippleLsb)} rms stay`} at any ratio; at ${words(other)} it would be ${stays(theirRipple)}.`,
        description: `Mean of many conversions against the input, in LSB, at ${words(here)} and at ${words(other)}`,
        x: { label: 'input, LSB from the middle of a code', ...axis },
        y: { label: 'mean of many conversions, codes', ...axis },
        marks: [
          b.curve({
            name: words(other),
            points: theirs,
            style: 'second',
            label: {
              text: `${words(other)}:\n${other < here ? 'the mean still steps' : 'the mean would follow'}`,
              ...(other < here ? steps : follows),
            },
          }),
          b.curve({
            name: words(here),
            points: mine,
            style: 'first',
            label: {
              text: `${words(here)}, as here:\n${enough ? 'the mean follows' : 'the mean steps'}`,
              ...(other < here ? follows : steps),
            },
          }),
          b.span({ from: 1, to: 2, height: 0.09, text: difference(channel.worst.perCode) }),
        ],
        figures: {
          heads: ['input', words(here), words(other)],
          rows: [60, 65, 70, 75, 80, 90, 100].map((i) => [
            number(mine[i]![0]),
            number(mine[i]![1], 4),
            number(theirs[i]![1], 4),
          ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${stays(averaging.rippleLsb)} that stay`,
        steps: [
          prose`The rms height of what is left of the steps:`,
          { formula: 'B^2 = sum(k=1; ∞; e^(−4π^2 k^2 σ^2)/(2π^2 k^2))' },
          prose`With ${symbol('σ')} = ${number(here)}: ${number(averaging.rippleLsb)}\u202fLSB.`,
        ],
      }),
    ],
  };
}

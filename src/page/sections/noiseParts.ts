/** The error of the mean against the ratio, part by part, and where averaging stops helping. */
import type { WorksheetNoise } from '../../worksheet/noiseOf.ts';
import { decadeSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** Total and parts of the error of the mean, unshifted, against the ratio. */
export function noiseParts(
  { e: { channel, noise, worksheet }, small, inSmall, difference, time }: Told,
  { ratios, usefulRatio, ratio }: WorksheetNoise,
): Section {
  const { perCode } = channel.worst;
  const { sources } = noise;
  const inUnit = (lsb: number): number => inSmall(lsb * perCode);
  const largest = ratios.at(-1)!.ratio;
  const wanted = worksheet.inputs.requirement.resolution?.value;
  const curves = [
    { name: 'noise and quantization', of: 'white', style: 'second', at: 0.2 },
    { name: 'source', of: 'correlated', style: 'thin', at: 0.25 },
    { name: '1/f noise', of: 'flicker', style: 'thin', at: 0.3 },
    { name: 'lag behind the change', of: 'drift', style: 'thin', at: 0.75 },
  ] as const;
  const total = ratios.map((r) => [r.ratio, inUnit(r.parts.total)] as const);
  const low = Math.min(...total.map((p) => p[1]));
  const floor = inUnit(sources.steady ?? 0);
  const alone = ratios.every((r) => r.parts.white > 0.97 * r.parts.total);
  const y = decadeSpan([
    alone ? low : low / 4,
    ...total.map((p) => p[1]),
    ...(wanted === undefined ? [] : [inSmall(wanted)]),
  ]);
  const parts = curves.map((c) => ({
    ...c,
    points: ratios.map((r) => [r.ratio, inUnit(r.parts[c.of])] as const).filter((p) => p[1] >= y.from / 3),
  }));
  const shown = parts.filter(
    (c) => !(alone && c.of === 'white') && c.points.length > 1 && c.points.some((p) => p[1] > 1.3 * y.from),
  );
  const at = (r: number) => ratios.find((x) => x.ratio === r);
  const chosen = at(ratio);
  const useful = at(usefulRatio);
  // The words of the limit stand below it.
  const here = chosen && inUnit(chosen.parts.total);
  const crowded =
    wanted !== undefined && here !== undefined && here < inSmall(wanted) && here > inSmall(wanted) / 2.2;
  const helps = usefulRatio >= largest;
  return {
    body: [
      b.plot({
        name: 'parts',
        claim: helps
          ? `Every doubling up to ${number(largest, 5)} helps.`
          : `Past ${usefulRatio}, one more doubling lowers the error by less than a tenth.`,
        text: helps
          ? prose`Each lowers the error by a tenth or more.`
          : prose`It is ${difference(useful!.parts.total * perCode)} at ${String(usefulRatio)} and ${difference(ratios.at(-1)!.parts.total * perCode)} at ${number(largest, 5)}.`,
        description: `Error of the mean in ${small} against the ratio, in all and by parts: ${difference(ratios[0]!.parts.total * perCode)} at 1, ${difference(ratios.at(-1)!.parts.total * perCode)} at ${largest}`,
        x: {
          label: 'oversampling ratio',
          scale: 'log',
          from: 0.85,
          to: largest * 1.18,
          ticks: thinned(
            ratios.map((r) => r.ratio),
            11,
          ),
        },
        y: { label: small, scale: 'log', ...y },
        marks: [
          ...(wanted === undefined
            ? []
            : [
                b.limit({
                  y: inSmall(wanted),
                  text: `wanted: at most ${difference(wanted)} rms`,
                  forbidden: 'above',
                }),
              ]),
          ...(floor > 1.3 * y.from
            ? [
                b.curve({
                  name: 'staircase',
                  points: ratios.map((r) => [r.ratio, floor] as const),
                  style: 'thin',
                  label: { text: 'staircase', at: Math.max(1, ratios.length - 2), place: 'along below' },
                }),
              ]
            : []),
          ...shown.map((c) =>
            b.curve({
              name: c.name,
              points: c.points,
              style: c.style,
              label: { text: c.name, at: Math.round(c.at * (c.points.length - 1)), place: 'along below' },
            }),
          ),
          b.curve({
            name: 'in all',
            points: total,
            style: 'first',
            dots: true,
            label: {
              text: alone ? 'noise and quantization' : 'in all',
              at: alone ? ratios.length >> 1 : usefulRatio > 4 ? 1 : Math.round(0.4 * ratios.length),
              place: alone ? 'along below' : 'along above',
            },
          }),
          ...(useful && usefulRatio !== ratio && !helps
            ? [
                b.point({
                  x: usefulRatio,
                  y: inUnit(useful.parts.total),
                  standing: 'recommended',
                  text: `helps up to ${usefulRatio}`,
                  place: 'above right',
                }),
              ]
            : []),
          ...(chosen
            ? [
                b.point({
                  x: ratio,
                  y: inUnit(chosen.parts.total),
                  standing: 'chosen',
                  text: `here, no shift: ${number(inUnit(chosen.parts.total))}`,
                  place: crowded ? 'below left' : 'above right',
                }),
              ]
            : []),
        ],
        figures: {
          heads: ['ratio', 'in all', 'noise', 'steps', 'source', '1/f', 'lag'],
          rows: ratios.map((r) => [
            String(r.ratio),
            ...[
              r.parts.total,
              r.parts.white,
              sources.steady ?? 0,
              r.parts.correlated,
              r.parts.flicker,
              r.parts.drift,
            ].map((lsb) => number(inUnit(lsb), 2)),
          ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${difference((chosen ?? ratios[0]!).parts.total * perCode)} at ${chosen ? ratio : 1}, no shift`,
        steps: [
          { formula: 'u = sqrt(u_w^2 + u_c^2 + u_f^2 + B^2) + d' },
          prose`White noise and quantization, ${number(sources.white)}\u202fLSB in one conversion:`,
          { formula: 'u_w^2 = (σ^2 + 1/12 − B^2)/R' },
          ...(noise.sourceLsb === 0
            ? []
            : [
                prose`Noise of the source, ${number(noise.sourceLsb)}\u202fLSB, alike in neighbours by ${symbol('ρ')} = ${number(noise.correlation)} with ${symbol('T')} = ${time(1 / sources.rate)} and ${symbol('τ')} = ${time(noise.sourceTime)}:`,
                { formula: 'ρ = e^(−T/τ)' },
                { formula: 'u_c^2 = s^2 ((1 + ρ)/(1 − ρ) − c)/R' },
                { formula: 'c = 2ρ(1 − ρ^R)/(R(1 − ρ)^2)' },
              ]),
          prose`1/f noise between one in ${time(sources.observationTime)} and half the rate, through the boxcar; ${symbol('d')} is the lag of the mean behind its last conversion. Hum is counted on its own page.`,
        ],
        source: 'Own derivation; the random parts agree with simulation.',
      }),
    ],
  };
}

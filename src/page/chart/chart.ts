/**
 * Charts: a plot block drawn by Observable Plot as one SVG, lettered like a drawing on graph paper.
 *
 * Drawn anew for each width, never scaled, so that lettering keeps its size. Colours are the page's own variables, so one SVG
 * serves light, dark and print.
 */
import * as Plot from '@observablehq/plot';
import type { Curve, Plot as PlotBlock } from '../blocks.ts';
import { divisions } from './divisions.ts';
import { axes, curveLabel, grid, limitWords, pointMark, type Scale, spanLine } from './marks.ts';

/** The size of a chart in px for the width at hand. */
const heightFor = (width: number): number => (width >= 600 ? 330 : width >= 500 ? 280 : 270);

const curveMarks = (c: Curve): Plot.Markish[] => {
  const stroke = c.style === 'second' ? 'var(--second)' : 'var(--ink)';
  const line = Plot.line(c.points as [number, number][], {
    stroke,
    strokeWidth: c.style === 'first' ? 2.5 : c.style === 'second' ? 2 : 1.25,
    ...(c.style === 'second' && { strokeDasharray: '6,4' }),
    strokeLinejoin: 'round',
    clip: true,
  });
  return c.dots
    ? [line, Plot.dot(c.points as [number, number][], { r: 3.4, fill: stroke, clip: true })]
    : [line];
};

/** What a drawn chart offers to whoever points at it. */
export interface Chart {
  readonly svg: SVGSVGElement;
  readonly x: Scale;
  readonly y: Scale;
}

/** Draws the block at a width in px into a new SVG of `document`. */
export function chart(block: PlotBlock, width: number, document: Document): Chart {
  const height = heightFor(width);
  const xs = divisions(block.x, width);
  const ys = divisions(block.y, 1000);
  const of = <T extends PlotBlock['marks'][number]['type']>(type: T) =>
    block.marks.filter((m): m is Extract<PlotBlock['marks'][number], { type: T }> => m.type === type);
  const curves = of('curve');
  const svg = Plot.plot({
    document,
    width,
    height,
    marginLeft: 42,
    marginRight: block.right ? 62 : 22,
    marginTop: 30,
    marginBottom: 46,
    x: { type: block.x.scale, domain: [block.x.from, block.x.to], axis: null },
    y: { type: block.y.scale, domain: [block.y.from, block.y.to], axis: null },
    marks: [
      grid(xs, ys),
      ...of('limit').map(limitWords),
      ...of('span').map(spanLine),
      ...curves.flatMap(curveMarks),
      ...curves.filter((c) => c.label).map(curveLabel),
      ...of('point').map(pointMark),
      axes(block, xs.major, ys.major),
    ],
  }) as unknown as SVGSVGElement & Plot.Plot;
  // Style comes from the page's own sheet, and the picture is one image with one sentence.
  for (const style of [...svg.querySelectorAll('style')]) style.remove();
  for (const node of [svg, ...svg.querySelectorAll('[style],[aria-label],[aria-description]')]) {
    for (const name of [
      'style',
      'aria-label',
      'aria-description',
      'font-family',
      'font-size',
      'text-anchor',
      'fill',
    ]) {
      if (node === svg || ['style', 'aria-label', 'aria-description'].includes(name))
        node.removeAttribute(name);
    }
  }
  // Names of clip paths by plot and width, so that the same chart is the same text whenever it is drawn.
  [...svg.querySelectorAll('clipPath')].forEach((path, i) => {
    const name = `${block.name}-${width}-${i}`;
    for (const node of svg.querySelectorAll(`[clip-path="url(#${path.id})"]`))
      node.setAttribute('clip-path', `url(#${name})`);
    path.id = name;
  });
  svg.setAttribute('class', 'chart');
  svg.setAttribute('role', 'img');
  svg.setAttribute('aria-label', block.description);
  const scale = (name: 'x' | 'y'): Scale => svg.scale(name)!.apply as Scale;
  return { svg, x: scale('x'), y: scale('y') };
}

/**
 * Charts: a plot block drawn by Observable Plot as one SVG, lettered like a drawing on graph paper.
 *
 * Drawn anew for each width, never scaled, so that lettering keeps its size. Colours are the page's own variables, so one SVG
 * serves light, dark and print.
 */
import * as Plot from '@observablehq/plot';
import { ticks as roundTicks } from 'd3-array';
import type { Axis, Curve, Limit, Plot as PlotBlock, Point, Span } from './blocks.ts';

/** The size of a chart in px for the width at hand. */
const heightFor = (width: number): number => (width >= 600 ? 330 : width >= 500 ? 280 : 270);

type Scale = (value: number) => number;
type Draw = (tools: {
  x: Scale;
  y: Scale;
  make: (name: string, attributes: Readonly<Record<string, string | number>>, text?: string) => SVGElement;
  left: number;
  right: number;
  top: number;
  bottom: number;
}) => readonly SVGElement[];

/** A mark drawn by hand in pixels, for what the grammar has no word for. */
const drawn = (draw: Draw): Plot.RenderFunction =>
  ((_index, scales, _values, dimensions, context) => {
    const document = context!.document;
    const make = (
      name: string,
      attributes: Readonly<Record<string, string | number>>,
      text?: string,
    ): SVGElement => {
      const node = document.createElementNS('http://www.w3.org/2000/svg', name) as SVGElement;
      for (const [key, value] of Object.entries(attributes)) {
        node.setAttribute(key, typeof value === 'number' ? String(Math.round(value * 100) / 100) : value);
      }
      if (text !== undefined) node.textContent = text;
      return node;
    };
    const { width, height, marginLeft, marginRight, marginTop, marginBottom } = dimensions!;
    const g = make('g', {});
    const nodes = draw({
      x: scales!.x as Scale,
      y: scales!.y as Scale,
      make,
      left: marginLeft,
      right: width - marginRight,
      top: marginTop,
      bottom: height - marginBottom,
    });
    for (const node of nodes) g.append(node);
    return g as unknown as SVGElement;
  }) as Plot.RenderFunction;

/** Values of the 1-2-5 series within a logarithmic axis. */
function decadeTicks(from: number, to: number): number[] {
  const out: number[] = [];
  for (let e = Math.floor(Math.log10(from)); e <= Math.log10(to); e++) {
    for (const m of [1, 2, 5]) {
      const v = Number(`${m}e${e}`);
      if (v >= from * (1 - 1e-9) && v <= to * (1 + 1e-9)) out.push(v);
    }
  }
  return out;
}

/** The lines that carry numbers, and the lines between them. */
function divisions(axis: Axis, width: number): { major: readonly number[]; minor: readonly number[] } {
  if (axis.scale === 'log') {
    const major = axis.ticks ?? decadeTicks(axis.from, axis.to);
    const minor: number[] = [];
    if (!axis.ticks) {
      for (let e = Math.floor(Math.log10(axis.from)); e <= Math.log10(axis.to); e++) {
        for (let m = 1; m <= 9; m++) {
          const v = Number(`${m}e${e}`);
          if (v > axis.from && v < axis.to) minor.push(v);
        }
      }
    }
    return { major, minor };
  }
  const major = axis.ticks ?? roundTicks(axis.from, axis.to, width < 400 ? 5 : 7);
  const step = major.length > 1 ? major[1]! - major[0]! : axis.to - axis.from;
  const parts = width < 400 ? 2 : 5;
  const minor: number[] = [];
  const first = Math.ceil((axis.from - major[0]!) / (step / parts) - 1e-9);
  const last = Math.floor((axis.to - major[0]!) / (step / parts) + 1e-9);
  for (let i = first; i <= last; i++) if (i % parts !== 0) minor.push(major[0]! + (i * step) / parts);
  return { major, minor };
}

const written = (value: number): string => {
  const text =
    Math.abs(value) >= 1e4
      ? value.toLocaleString('en').replaceAll(',', '\u202f')
      : String(Number(value.toPrecision(10)));
  return text.replace('-', '\u2212');
};

const halo = {
  paint: 'stroke',
  stroke: 'var(--paper)',
  'stroke-width': 4,
  'stroke-linejoin': 'round',
} as const;
const lettering = (fill: string, anchor: string) =>
  ({
    fill,
    'text-anchor': anchor,
    'paint-order': halo.paint,
    stroke: halo.stroke,
    'stroke-width': 4,
    'stroke-linejoin': 'round',
  }) as const;

const grid = (xs: ReturnType<typeof divisions>, ys: ReturnType<typeof divisions>): Plot.RenderFunction =>
  drawn(({ x, y, make, left, right, top, bottom }) => {
    const lines = (vx: readonly number[], vy: readonly number[]): string =>
      vx.map((v) => `M${x(v).toFixed(1)} ${top}V${bottom}`).join('') +
      vy.map((v) => `M${left} ${y(v).toFixed(1)}H${right}`).join('');
    return [
      make('path', { d: lines(xs.minor, ys.minor), stroke: 'var(--grid)', fill: 'none' }),
      make('path', { d: lines(xs.major, ys.major), stroke: 'var(--grid2)', fill: 'none' }),
    ];
  });

const axes = (block: PlotBlock, xs: readonly number[], ys: readonly number[]): Plot.RenderFunction =>
  drawn(({ x, y, make, left, right, top, bottom }) => {
    const text = (tx: number, ty: number, anchor: string, words: string): SVGElement =>
      make('text', { x: tx, y: ty, fill: 'var(--ink)', 'text-anchor': anchor }, words);
    const out = [
      ...xs.map((v) => text(x(v), bottom + 18, 'middle', written(v))),
      ...ys.map((v) => text(left - 7, y(v) + 4, 'end', written(v))),
      text(right + (block.right ? 40 : 16), bottom + 38, 'end', block.x.label),
      text(left - 38, top - 13, 'start', block.y.label),
    ];
    if (block.right) {
      out.push(text(right + 44, top - 13, 'end', block.right.label));
      for (const tick of block.right.ticks) {
        out.push(make('path', { d: `M${right} ${y(tick.y).toFixed(1)}h6`, stroke: 'var(--ink)' }));
        out.push(text(right + 10, y(tick.y) + 4, 'start', tick.text));
      }
    }
    return out;
  });

const limitWords = ({ y: level, text, forbidden }: Limit): Plot.RenderFunction =>
  drawn(({ y, make, left, right, top, bottom }) => {
    const at = y(level);
    const [a, b] = forbidden === 'above' ? [top, at] : [at, bottom];
    return [
      make('rect', { x: left, y: a, width: right - left, height: Math.max(0, b - a), fill: 'url(#hatch)' }),
      make('path', {
        d: `M${left} ${at.toFixed(1)}H${right}`,
        stroke: 'var(--ink)',
        'stroke-width': 1.25,
        'stroke-dasharray': '9,3,2,3',
      }),
      make(
        'text',
        { x: right - 6, y: forbidden === 'above' ? at + 16 : at - 7, ...lettering('var(--ink)', 'end') },
        text,
      ),
    ];
  });

const spanLine = ({ from, to, height, text }: Span): Plot.RenderFunction =>
  drawn(({ x, make, top, bottom }) => {
    const [a, b] = [x(from), x(to)];
    const at = bottom - height * (bottom - top);
    const middle = (a + b) / 2;
    const low = height > 0.5 ? bottom : at + 8;
    const high = height > 0.5 ? at - 8 : at - 8;
    const tip = (p: number, d: number): string =>
      `M${p + 6 * d} ${at - 2.2}L${p} ${at}L${p + 6 * d} ${at + 2.2}`;
    return [
      make('path', {
        d: `M${a} ${low}V${high}M${b} ${low}V${high}M${a} ${at}H${b}${tip(a, 1)}${tip(b, -1)}`,
        stroke: 'var(--ink)',
        fill: 'none',
      }),
      make('text', { x: middle, y: at + 4, ...lettering('var(--ink)', 'middle'), 'stroke-width': 9 }, text),
    ];
  });

const curveLabel = (c: Curve): Plot.RenderFunction =>
  drawn(({ x, y, make }) => {
    const label = c.label!;
    const fill = c.style === 'second' ? 'var(--second)' : 'var(--ink)';
    const p = c.points[label.at]!;
    const [px, py] = [x(p[0]), y(p[1])];
    if (typeof label.place === 'string') {
      const before = c.points[Math.max(0, label.at - 1)]!;
      const after = c.points[Math.min(c.points.length - 1, label.at + 1)]!;
      const angle = (Math.atan2(y(after[1]) - y(before[1]), x(after[0]) - x(before[0])) * 180) / Math.PI;
      const lift = label.place === 'along above' ? -8 : 17;
      return [
        make(
          'text',
          {
            transform: `translate(${px.toFixed(1)},${py.toFixed(1)}) rotate(${angle.toFixed(2)})`,
            y: lift,
            ...lettering(fill, 'middle'),
          },
          label.text,
        ),
      ];
    }
    const [lx, ly] = [x(label.place[0]), y(label.place[1])];
    const lines = label.text.split('\n');
    const above = ly < py;
    const start = above ? ly + 6 : ly - 12 - 15 * (lines.length - 1);
    const length = Math.hypot(px - lx, py - start);
    const [ux, uy] = length > 0 ? [(px - lx) / length, (py - start) / length] : [0, 1];
    const [ex, ey] = [px - 2 * ux, py - 2 * uy];
    const wing = (s: number): string =>
      `${(ex - 7 * ux + 2.6 * s * uy).toFixed(1)} ${(ey - 7 * uy - 2.6 * s * ux).toFixed(1)}`;
    return [
      make('path', {
        d: `M${lx.toFixed(1)} ${start.toFixed(1)}L${ex.toFixed(1)} ${ey.toFixed(1)}M${wing(1)}L${ex.toFixed(1)} ${ey.toFixed(1)}L${wing(-1)}`,
        stroke: fill,
        fill: 'none',
      }),
      ...lines.map((words, i) =>
        make(
          'text',
          {
            x: lx,
            y: ly + 15 * (i - lines.length + 1),
            ...lettering(fill, label.end === 'left' ? 'start' : label.end === 'right' ? 'end' : 'middle'),
          },
          words,
        ),
      ),
    ];
  });

const places: Readonly<Record<Point['place'], readonly [number, number, string]>> = {
  'above right': [8, -9, 'start'],
  'below right': [7, 19, 'start'],
  right: [12, 5, 'start'],
  left: [-12, 5, 'end'],
  'above left': [-8, -9, 'end'],
  'below left': [-7, 19, 'end'],
};

const pointMark = (p: Point): Plot.RenderFunction =>
  drawn(({ x, y, make }) => {
    const [px, py] = [x(p.x), y(p.y)];
    const [dx, dy, anchor] = places[p.place];
    const colour = p.standing === 'chosen' ? 'var(--entry)' : 'var(--ink)';
    const sign =
      p.standing === 'recommended'
        ? make('circle', { cx: px, cy: py, r: 7, fill: 'none', stroke: colour, 'stroke-width': 2 })
        : p.standing === 'chosen'
          ? make('path', {
              d: `M${px} ${py - 8}L${px + 6} ${py}L${px} ${py + 8}L${px - 6} ${py}Z`,
              fill: 'var(--paper)',
              stroke: colour,
              'stroke-width': 2,
            })
          : p.standing === 'worst'
            ? make('circle', {
                cx: px,
                cy: py,
                r: 5,
                fill: 'var(--paper)',
                stroke: colour,
                'stroke-width': 2,
              })
            : make('circle', { cx: px, cy: py, r: 3.4, fill: colour });
    return [sign, make('text', { x: px + dx, y: py + dy, ...lettering(colour, anchor) }, p.text)];
  });

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

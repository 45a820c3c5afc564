/**
 * Marks drawn by hand in pixels, for what the grammar of plots has no word for: graph paper, lettered axes, limits with their
 * hatching, dimension lines, labels on their line, signs of points.
 */
import type * as Plot from '@observablehq/plot';
import type { Curve, Limit, Plot as PlotBlock, Point, Span } from '../blocks.ts';
import type { divisions } from './divisions.ts';

export type Scale = (value: number) => number;
type Make = (
  name: string,
  attributes: Readonly<Record<string, string | number>>,
  text?: string,
) => SVGElement;
type Draw = (tools: {
  x: Scale;
  y: Scale;
  make: Make;
  left: number;
  right: number;
  top: number;
  bottom: number;
}) => readonly SVGElement[];

/** About how wide a text is, px: the lettering's letters are nearly alike. */
const widthOf = (text: string): number => 6.6 * text.length;

/** Where a text must start, stand or end so that it stays between two edges. */
function within(x: number, text: string, anchor: string, left: number, right: number): number {
  const width = widthOf(text);
  const start = anchor === 'start' ? x : anchor === 'end' ? x - width : x - width / 2;
  const shift = Math.max(left - start, Math.min(0, right - start - width));
  return x + shift;
}

/** A mark drawn by hand in pixels, for what the grammar has no word for. */
const drawn = (draw: Draw): Plot.RenderFunction =>
  ((_index, scales, _values, dimensions, context) => {
    const document = context!.document;
    const make: Make = (name, attributes, text) => {
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

export const grid = (
  xs: ReturnType<typeof divisions>,
  ys: ReturnType<typeof divisions>,
): Plot.RenderFunction =>
  drawn(({ x, y, make, left, right, top, bottom }) => {
    const lines = (vx: readonly number[], vy: readonly number[]): string =>
      vx.map((v) => `M${x(v).toFixed(1)} ${top}V${bottom}`).join('') +
      vy.map((v) => `M${left} ${y(v).toFixed(1)}H${right}`).join('');
    return [
      make('path', { d: lines(xs.minor, ys.minor), stroke: 'var(--grid)', fill: 'none' }),
      make('path', { d: lines(xs.major, ys.major), stroke: 'var(--grid2)', fill: 'none' }),
    ];
  });

/** Of the lines that may carry numbers along x those whose numbers stand clear of one another, powers of ten first. */
function clear(xs: readonly number[], x: Scale): number[] {
  const rank = (v: number): number => (v > 0 && Number.isInteger(Math.log10(v)) ? 0 : 1);
  const room = (a: number, b: number): number => (widthOf(written(a)) + widthOf(written(b))) / 2 + 10;
  const kept: number[] = [];
  for (const v of [...xs].sort((a, b) => rank(a) - rank(b))) {
    if (kept.every((other) => Math.abs(x(v) - x(other)) >= room(v, other))) kept.push(v);
  }
  return kept;
}

export const axes = (block: PlotBlock, xs: readonly number[], ys: readonly number[]): Plot.RenderFunction =>
  drawn(({ x, y, make, left, right, top, bottom }) => {
    const text = (tx: number, ty: number, anchor: string, words: string): SVGElement =>
      make('text', { x: tx, y: ty, fill: 'var(--ink)', 'text-anchor': anchor }, words);
    const out = [
      ...clear(xs, x).map((v) => text(x(v), bottom + 18, 'middle', written(v))),
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

export const limitWords = ({ y: level, text, forbidden, place }: Limit): Plot.RenderFunction =>
  drawn(({ y, make, left, right, top, bottom }) => {
    const at = y(level);
    const atLeft = place === 'above left' || place === 'below left';
    const below = place === 'below left' || (place === undefined && forbidden === 'above');
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
        {
          x: atLeft ? left + 6 : right - 6,
          y: below ? at + 16 : at - 7,
          ...lettering('var(--ink)', atLeft ? 'start' : 'end'),
        },
        text,
      ),
    ];
  });

export const spanLine = ({ from, to, height, text }: Span): Plot.RenderFunction =>
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

export const curveLabel = (c: Curve): Plot.RenderFunction =>
  drawn(({ x, y, make, left, right }) => {
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
      ...lines.map((words, i) => {
        const anchor = label.end === 'left' ? 'start' : label.end === 'right' ? 'end' : 'middle';
        const at = within(lx, words, anchor, left, right);
        return make(
          'text',
          { x: at, y: ly + 15 * (i - lines.length + 1), ...lettering(fill, anchor) },
          words,
        );
      }),
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

const pointSign = (p: Point, px: number, py: number, make: Make): SVGElement => {
  const open = { fill: 'var(--paper)', 'stroke-width': 2 };
  switch (p.standing) {
    case 'recommended':
      return make('circle', { ...open, cx: px, cy: py, r: 7, fill: 'none', stroke: 'var(--ink)' });
    case 'chosen':
      return make('path', {
        ...open,
        d: `M${px} ${py - 8}L${px + 6} ${py}L${px} ${py + 8}L${px - 6} ${py}Z`,
        stroke: 'var(--entry)',
      });
    case 'worst':
      return make('circle', { ...open, cx: px, cy: py, r: 5, stroke: 'var(--ink)' });
    case 'plain':
      return make('circle', { cx: px, cy: py, r: 3.4, fill: 'var(--ink)' });
  }
};

export const pointMark = (p: Point): Plot.RenderFunction =>
  drawn(({ x, y, make, left, right }) => {
    const [px, py] = [x(p.x), y(p.y)];
    const [dx, dy, anchor] = places[p.place];
    const at = within(px + dx, p.text, anchor, left, right);
    // Pushed back over its own point, a label goes further up or down to stay clear of the line.
    const push = 0.25 * Math.abs(at - px - dx) * Math.sign(dy);
    const colour = p.standing === 'chosen' ? 'var(--entry)' : 'var(--ink)';
    return [
      pointSign(p, px, py, make),
      make('text', { x: at, y: py + dy + push, ...lettering(colour, anchor) }, p.text),
    ];
  });

/**
 * Charts on a page at work: drawn at the width at hand, again when the block or the width changes; what is out of sight waits for
 * the next frame; a second drawing for paper is made when the page is printed. Pointing at a chart, or stepping through it with
 * the arrow keys, reads its figures.
 */
import type { Curve, Plot } from '../blocks.ts';
import { type Chart, chart } from '../chart/chart.ts';

interface Place {
  block: Plot;
  element: HTMLElement;
  drawnFor: string;
  chart: Chart | undefined;
  width: number;
  visible: boolean;
  waiting: boolean;
  at: number | undefined;
}

/** Width in px of the drawing for paper, set at the width of the print column. */
const paperWidth = 560;

const short = (value: number): string => String(Number(value.toPrecision(3))).replace('-', '−');

/** The curves whose figures are read, and the stations to read them at. */
function stations(block: Plot): { curves: readonly Curve[]; xs: readonly number[] } {
  const curves = block.marks.filter((m): m is Curve => m.type === 'curve' && m.style !== 'thin');
  const all = (curves[0] ?? (block.marks.find((m) => m.type === 'curve') as Curve | undefined))?.points ?? [];
  const every = Math.max(1, Math.floor(all.length / 40));
  return { curves, xs: all.filter((_, i) => i % every === 0 || i === all.length - 1).map((p) => p[0]) };
}

const valueAt = (c: Curve, x: number): number =>
  c.points.reduce((best, p) => (Math.abs(p[0] - x) < Math.abs(best[0] - x) ? p : best))[1];

/** All charts of a page. */
export class Charts {
  readonly #places = new Map<string, Place>();
  readonly #seen: IntersectionObserver;
  readonly #sized: ResizeObserver;

  constructor() {
    this.#seen = new IntersectionObserver((entries) => {
      for (const entry of entries) {
        const place = this.#of(entry.target);
        if (place) place.visible = entry.isIntersecting;
      }
    });
    this.#sized = new ResizeObserver((entries) => {
      for (const entry of entries) {
        const place = this.#of(entry.target);
        if (place && Math.round(entry.contentRect.width) !== place.width) this.#draw(place);
      }
    });
    window.addEventListener('beforeprint', () => this.#forPaper());
    matchMedia('print').addEventListener('change', (event) => event.matches && this.#forPaper());
  }

  /** Puts a block's chart into its place: at once if it is in sight or new, else in the next frame. */
  readonly place = (block: Plot, element: HTMLElement): void => {
    let place = this.#places.get(block.name);
    if (place?.element !== element) {
      place = {
        block,
        element,
        drawnFor: '',
        chart: undefined,
        width: 0,
        visible: true,
        waiting: false,
        at: undefined,
      };
      this.#places.set(block.name, place);
      this.#seen.observe(element);
      this.#sized.observe(element);
      this.#listen(place);
    }
    place.block = block;
    if (place.visible) this.#draw(place);
    else if (!place.waiting) {
      const late = place;
      late.waiting = true;
      requestAnimationFrame(() =>
        setTimeout(() => {
          late.waiting = false;
          this.#draw(late);
        }),
      );
    }
  };

  #of(element: Element): Place | undefined {
    return this.#places.get((element as HTMLElement).dataset.plot ?? '');
  }

  #draw(place: Place): void {
    const { block, element } = place;
    place.width = Math.round(element.clientWidth);
    if (place.width === 0) return;
    const drawing = `${place.width}${JSON.stringify(block)}`;
    if (drawing === place.drawnFor) return;
    place.drawnFor = drawing;
    place.chart = chart(block, place.width, document);
    place.chart.svg.classList.add('for-screen');
    element.replaceChildren(place.chart.svg);
    if (place.at !== undefined) this.#read(place, place.at);
  }

  #forPaper(): void {
    for (const { block, element } of this.#places.values()) {
      for (const old of element.querySelectorAll('.for-paper')) old.remove();
      const { svg } = chart(block, paperWidth, document);
      svg.classList.add('for-paper');
      element.append(svg);
    }
  }

  #listen(place: Place): void {
    const { element } = place;
    element.tabIndex = 0;
    element.setAttribute('role', 'group');
    element.setAttribute('aria-label', 'Plot; left and right arrow keys read its figures');
    element.addEventListener('pointermove', (event) => {
      if (!place.chart) return;
      const { xs } = stations(place.block);
      const box = place.chart.svg.getBoundingClientRect();
      const px = ((event.clientX - box.left) * place.width) / box.width;
      const at = xs.reduce(
        (best, x, i) =>
          Math.abs(place.chart!.x(x) - px) < Math.abs(place.chart!.x(xs[best]!) - px) ? i : best,
        0,
      );
      this.#read(place, at);
    });
    const leave = (): void => {
      place.at = undefined;
      element.querySelector('.pointed')?.remove();
    };
    element.addEventListener('pointerleave', leave);
    element.addEventListener('blur', leave);
    element.addEventListener('keydown', (event) => {
      const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
      if (step === 0) return;
      event.preventDefault();
      const { xs } = stations(place.block);
      const from = place.at ?? (step > 0 ? -1 : xs.length);
      this.#read(place, Math.max(0, Math.min(xs.length - 1, from + step)));
    });
  }

  /** Shows the figures of one station: a line across, and words at the foot of the plot. */
  #read(place: Place, at: number): void {
    const { block, chart: drawn, element } = place;
    if (!drawn) return;
    const { curves, xs } = stations(block);
    const x = xs[Math.min(at, xs.length - 1)]!;
    place.at = at;
    element.querySelector('.pointed')?.remove();
    const svg = 'http://www.w3.org/2000/svg';
    const g = document.createElementNS(svg, 'g');
    g.setAttribute('class', 'pointed');
    const px = drawn.x(x);
    const height = Number(drawn.svg.getAttribute('height'));
    const line = document.createElementNS(svg, 'path');
    line.setAttribute('d', `M${px.toFixed(1)} 30V${height - 46}`);
    line.setAttribute('stroke', 'var(--soft)');
    g.append(line);
    const figures = curves.map((c) => {
      const y = valueAt(c, x);
      const dot = document.createElementNS(svg, 'circle');
      dot.setAttribute('cx', px.toFixed(1));
      dot.setAttribute('cy', drawn.y(y).toFixed(1));
      dot.setAttribute('r', '4.5');
      dot.setAttribute('fill', 'var(--paper)');
      dot.setAttribute('stroke', c.style === 'second' ? 'var(--second)' : 'var(--ink)');
      dot.setAttribute('stroke-width', '2');
      g.append(dot);
      return `${c.name} ${short(y)}`;
    });
    const words = document.createElementNS(svg, 'text');
    words.setAttribute('x', '4');
    words.setAttribute('y', String(height - 8));
    words.setAttribute('text-anchor', 'start');
    words.setAttribute('aria-live', 'polite');
    words.textContent = `at ${short(x)}: ${figures.join(', ')}`;
    g.append(words);
    drawn.svg.append(g);
  }
}

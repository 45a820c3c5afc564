/** Files that a page hands out: tables as CSV, plots as SVG and PNG. */
import type { Content } from '../blocks.ts';

/** Hands a file to the reader. */
export function download(name: string, type: string, content: string | Blob): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** A cell of CSV; text that a spreadsheet would run as a formula is kept from it by a leading apostrophe. */
function cell(text: string): string {
  const figure = text
    .replace(/(?<=\d)[\u202f\u2009](?=\d{3})/g, '')
    .replaceAll('\u2212', '-')
    .replaceAll('\u202f', ' ');
  const safe = /^[=+@\t\r]|^-(?![\d.])/.test(figure) ? `'${figure}` : figure;
  return /[",\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

const lines = (rows: readonly (readonly string[])[]): string =>
  rows.map((row) => row.map(cell).join(',')).join('\n');

/** Every table of a page, and the figures behind its plots, one after the other, each under its claim. */
export function csvOf(content: Content): string {
  const parts = content.sections.flatMap((section) =>
    section.body.flatMap((block) => {
      if (block.type === 'plot') return [lines([[block.claim], block.figures.heads, ...block.figures.rows])];
      if (block.type !== 'table') return [];
      const heads = block.columns.map((c) => (c.unit ? `${c.head} (${c.unit})` : c.head));
      const rows = block.rows.map((row) => [
        ...row.cells.map((c) => (typeof c === 'string' ? c : c.text)),
        ...(row.verdicts ? [row.verdicts.map((v) => v.text).join('; ')] : []),
      ]);
      const judged = block.rows.some((row) => row.verdicts);
      return [lines([[block.claim], judged ? [...heads, 'verdict'] : heads, ...rows])];
    }),
  );
  return `${parts.join('\n\n')}\n`;
}

/** The colours of the page in the light, by their names in its style. */
const lightColours = (style: string): ReadonlyMap<string, string> =>
  new Map(
    [...style.slice(0, style.indexOf('@media')).matchAll(/(--[\w-]+):\s*(#[0-9a-f]{3,8})/g)].map((m) => [
      m[1]!,
      m[2]!,
    ]),
  );

/** The faces that charts are lettered in, as the page's style carries them. */
const faces = (style: string): string =>
  (style.match(/@font-face\{font-family:"Halfbit (?:Lettering|Text)";src:[^}]*\}/g) ?? []).join('');

/** A chart as a file of its own: the page's colours and letters put in, so that it can stand anywhere. */
export function svgText(svg: SVGSVGElement, style: string): string {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  copy.querySelector('.pointed')?.remove();
  copy.setAttribute('font-family', "'Halfbit Lettering', 'Halfbit Text', sans-serif");
  copy.setAttribute('font-size', '13');
  copy.setAttribute('text-anchor', 'middle');
  copy.setAttribute('fill', 'currentColor');
  const sheet = document.createElementNS('http://www.w3.org/2000/svg', 'style');
  sheet.textContent = `svg{font-variant-numeric:tabular-nums}${faces(style)}`;
  copy.prepend(sheet);
  const light = lightColours(style);
  return new XMLSerializer()
    .serializeToString(copy)
    .replace(/var\((--[\w-]+)\)/g, (whole, name: string) => light.get(name) ?? whole)
    .replaceAll('currentColor', light.get('--ink') ?? '#000')
    .replace(/fill="url\(#hatch\)"/g, `fill="${light.get('--miss')}" fill-opacity=".12"`);
}

/** Points of a picture a px of the page. */
const density = 2;

/** A chart as a picture, on the page's paper in the light. */
export async function pngOf(svg: SVGSVGElement, style: string): Promise<Blob> {
  const image = new Image();
  image.src = `data:image/svg+xml,${encodeURIComponent(svgText(svg, style))}`;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = density * Number(svg.getAttribute('width'));
  canvas.height = density * Number(svg.getAttribute('height'));
  const context = canvas.getContext('2d')!;
  context.fillStyle = lightColours(style).get('--paper') ?? '#fff';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done, failed) => {
    canvas.toBlob((png) => (png ? done(png) : failed(new Error('the plot could not be drawn'))), 'image/png');
  });
}

/** The ways to have a reference, side by side: what each adds to the reading, over the range and in the budget. */
import { formatQuantity } from '../../numbers/format.ts';
import { sourceLoad } from '../../worksheet/phasesOf.ts';
import {
  isExcited,
  isReference,
  type ReferenceWay,
  type WayName,
  type WorksheetReference,
} from '../../worksheet/referenceOf.ts';
import { decadeSpan, stationsBetween } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Row, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

const volts = (value: number, digits = 3): string => formatQuantity({ value, unit: 'V', digits });

/** How a way reads in a sentence. */
export const wayNames: Readonly<Record<WayName, string>> = {
  ratiometric: 'ratiometric',
  external: 'external reference',
  internal: 'internal reference',
  'corrected supply': 'supply, corrected by the internal reference',
  supply: 'supply, taken as it should be',
};

const shortNames: Readonly<Record<WayName, string>> = {
  ...wayNames,
  'corrected supply': 'corrected supply',
  supply: 'supply as it is',
};

/** The budgets side by side. */
export function waysTable(t: Told, { ways }: WorksheetReference): Section {
  const { e, small, inSmall, difference } = t;
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  const ratio = ways.find((w) => w.is === 'ratiometric');
  const absolute = ways.filter((w) => w.is !== 'ratiometric' && w.worst);
  const best = absolute.reduce<ReferenceWay | undefined>(
    (a, w) => (a && a.adds <= w.adds ? a : w),
    undefined,
  );
  const claim =
    ratio && best
      ? `Ratiometric the reference adds nothing; the best absolute way adds ${difference(best.adds)}.`
      : best
        ? `The ${wayNames[best.is]} adds least: ${difference(best.adds)}.`
        : 'No reference here spans the range.';
  const row = (w: ReferenceWay): Row => {
    const name = wayNames[w.is];
    const standing = w.present ? { standing: 'chosen' as const } : {};
    if (w.worst === undefined) {
      return {
        cells: [name, volts(w.reference), sizeText(w), '–', '–'],
        verdicts: [{ mark: 'miss', text: `the pin goes to ${volts(w.beyond!)}` }],
        standing: w.present ? 'chosen' : 'fails',
      };
    }
    const { expanded } = w.worst;
    const over = wanted !== undefined && expanded > wanted;
    const figure = number(inSmall(expanded));
    const verdict = w.present
      ? { text: over ? 'as here; too much' : 'as here' }
      : over
        ? { mark: 'miss' as const, text: `more than ${difference(wanted)}` }
        : { text: wanted === undefined ? '' : 'serves' };
    return {
      cells: [
        name,
        volts(w.reference),
        sizeText(w),
        w.adds === 0 ? '0' : number(inSmall(w.adds)),
        over ? { text: figure, miss: true } : figure,
      ],
      verdicts: [w.present && over ? { mark: 'miss' as const, text: 'as here; too much' } : verdict],
      ...standing,
      ...(!w.present && over && { standing: 'fails' as const }),
    };
  };
  const excited = isExcited(e.worksheet);
  return {
    body: [
      b.table({
        name: 'ways',
        claim,
        text: prose`The same board with each reference, as built, without calibration; what the reference adds is its limit where that board is worst.${excited ? ` For the absolute ways what feeds the ${sourceLoad(e.worksheet.inputs).name} is taken as exact, which it seldom is.` : ''}`,
        columns: [
          { head: 'reference', words: true },
          { head: 'full scale', minor: true },
          { head: 'known to' },
          { head: 'adds up to', unit: small },
          { head: 'in all, 95 %', unit: small },
        ],
        rows: ways.map(row),
      }),
    ],
  };
}

/** Share of the variance from which a line is worth its row. */
const worthARow = 0.003;

/** The budgets line by line, where the present board is worst. */
export function waysBudgets({ e, small, inSmall, measurand }: Told, { ways }: WorksheetReference): Section[] {
  const compared = ways.filter((w) => w.there && w.is !== 'supply');
  if (compared.length < 2) return [];
  const linesOf = (w: ReferenceWay) =>
    w.there!.lines.map((l) => ({ ...l, name: isReference(l.path) ? 'reference' : l.name }));
  const names = compared.flatMap((w) =>
    linesOf(w)
      .filter((l) => l.share >= worthARow)
      .map((l) => l.name),
  );
  const u = (w: ReferenceWay, name: string): number =>
    Math.hypot(
      ...linesOf(w)
        .filter((l) => l.name === name)
        .map((l) => l.uncertainty),
    );
  const figure = (value: number): string => (value === 0 ? '–' : number(inSmall(value)));
  const largest = (name: string): number => Math.max(...compared.map((w) => u(w, name)));
  const rows = [...new Set(names)].sort((a, c) => largest(c) - largest(a));
  const others = (w: ReferenceWay): number =>
    Math.hypot(
      ...linesOf(w)
        .filter((l) => !rows.includes(l.name))
        .map((l) => l.uncertainty),
    );
  const at = e.uncertainty.before.measurand;
  return [
    {
      body: [
        b.table({
          name: 'budgets',
          claim: `Line by line at ${measurand(at)}: only the reference and the code width differ.`,
          text: prose`Standard uncertainties; at another full scale a code, and with it every error of the converter, is worth as much more or less.`,
          columns: [
            { head: 'contribution', words: true },
            ...compared.map((w) => ({ head: shortNames[w.is], unit: small })),
          ],
          rows: [
            ...rows.map((name): Row => ({ cells: [name, ...compared.map((w) => figure(u(w, name)))] })),
            { cells: ['others', ...compared.map((w) => figure(others(w)))] },
            {
              group: true,
              standing: 'recommended',
              cells: ['expanded, 95\u202f%', ...compared.map((w) => figure(w.there!.expanded))],
            },
          ],
        }),
      ],
    },
  ];
}

const sizeText = (w: ReferenceWay): string =>
  w.is === 'ratiometric' ? 'cancels' : `±${formatQuantity({ value: w.halfWidth, unit: '%', digits: 2 })}`;

/** What each absolute way adds, over the range. */
export function leverageCurve(t: Told, { ways, leverage }: WorksheetReference): Section[] {
  const { e, name, unit, small, inSmall, difference, measurand } = t;
  const shown = ways.filter((w) => w.halfWidth > 0 && w.worst);
  const present = ways.find((w) => w.present)!;
  const first =
    present.halfWidth > 0 ? present : (shown.find((w) => w.is === 'corrected supply') ?? shown[0]);
  if (first === undefined) return [];
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  // Where the pin is at 0 V the reference adds nothing, which a logarithmic axis cannot show.
  const least = 1e-3 * Math.max(...leverage.map((p) => p.perUnit));
  const drawn = leverage.filter((p) => p.perUnit > least);
  const line = (w: ReferenceWay) =>
    drawn.map((p) => [p.measurand, inSmall(w.halfWidth * p.perUnit)] as const);
  const y = decadeSpan([
    ...shown.flatMap((w) => line(w).map((p) => p[1])),
    ...(wanted === undefined ? [] : [inSmall(wanted)]),
  ]);
  const { low, high } = e.channel.range;
  const at = (m: number): number =>
    leverage.reduce((a, p) => (Math.abs(p.measurand - m) < Math.abs(a.measurand - m) ? p : a)).perUnit;
  const worst = at(low) > at(high) ? low : high;
  const percent = 0.01 * at(worst);
  const ratio = ways.some((w) => w.is === 'ratiometric');
  const places = [0.3, 0.5, 0.7, 0.4];
  return [
    {
      body: [
        b.plot({
          name: 'leverage',
          claim: `One per cent of the reference is ${difference(percent)} at ${measurand(worst)}${present.halfWidth === 0 ? ', were it not ratiometric' : ''}.`,
          text: prose`What the reference may add either way over the range, for each way to have one${ratio ? '; ratiometric it is nothing, whatever the supply does' : ''}.`,
          description: `Error by the reference in ${small} against ${name}: ${shown.map((w) => `${shortNames[w.is]} ${difference(w.halfWidth * at(worst))}`).join(', ')} at ${measurand(worst)}`,
          x: { label: `${name}, ${unit}`, scale: 'linear', from: low, to: high },
          y: { label: `${small}, either way`, scale: 'log', ...y },
          marks: [
            ...(wanted === undefined
              ? []
              : [
                  b.limit({
                    y: inSmall(wanted),
                    text: `wanted for everything: ${difference(wanted)}`,
                    forbidden: 'above',
                    place: worst === low ? 'above right' : 'above left',
                  }),
                ]),
            ...shown.map((w, i) =>
              b.curve({
                name: shortNames[w.is],
                points: line(w),
                style: w === first ? 'first' : w.is === 'supply' ? 'second' : 'thin',
                label: {
                  text: shortNames[w.is],
                  at: Math.round(places[i]! * (drawn.length - 1)),
                  place:
                    i === 0 && shown.length > 1 && shown[1]!.halfWidth < w.halfWidth
                      ? 'along above'
                      : 'along below',
                },
              }),
            ),
            b.point({
              x: worst,
              y: inSmall(first.halfWidth * at(worst)),
              standing: present.halfWidth > 0 ? 'chosen' : 'worst',
              text: `${present.halfWidth > 0 ? 'as here' : 'corrected'}: ${number(inSmall(first.halfWidth * at(worst)))}`,
              place: worst === low ? 'above right' : 'above left',
            }),
          ],
          figures: {
            heads: [unit, ...shown.map((w) => shortNames[w.is])],
            rows: stationsBetween(low, high, 5).map((m) => [
              number(m),
              ...shown.map((w) => number(inSmall(w.halfWidth * at(m)))),
            ]),
          },
        }),
      ],
      margin: [
        b.working({
          result: `${difference(percent)} for 1\u202f%`,
          open: true,
          steps: [
            prose`An absolute reading stands for ${symbol('k')} codes, each a part of the reference:`,
            { formula: 'Δx = k |dx/dk| ΔV/V' },
            {
              formula: 'Δx = k p r',
              with: {
                Δx: difference(percent),
                k: number(e.channel.fraction(worst) * 2 ** e.quantizing.bits, 4),
                p: difference(e.channel.perCode(worst)),
                r: '0.01',
              },
            },
            prose`Ratiometric, sensor and converter see the same reference, and ${symbol('k')} does not depend on it.`,
          ],
          source: 'Own derivation, from the sensor’s own curve.',
        }),
      ],
    },
  ];
}

/** One reading on its time line: what draws how much, for how long; the plot, the table and the inputs behind them. */
import { formatQuantity } from '../../numbers/format.ts';
import type { TimedPhase, WorksheetCharge } from '../../worksheet/chargeOf.ts';
import { coreSleeps, sourceLoad } from '../../worksheet/phasesOf.ts';
import { roundSpan } from '../axes.ts';
import * as b from '../blocks.ts';
import { entry, type Prose, paragraph, prose, type Section, symbol } from '../blocks.ts';
import { scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

const amperes = (value: number): string => formatQuantity({ value, unit: 'A' });

/** A share in print. */
export const percent = (share: number): string =>
  share > 0 && share < 1e-4
    ? '<\u202f0.01\u202f%'
    : formatQuantity({ value: share, unit: '%', digits: share > 0.1 ? 2 : 1 });

/** What the reader may change about the phases. */
function phaseInputs({ e }: Told): b.Inputs {
  const { inputs } = e.worksheet;
  const row = (what: string, path: string): { what: string; value: Prose } => ({
    what,
    value: prose`${entry(path)}`,
  });
  return b.inputs([
    row('wake-up', 'converter.times.wake'),
    row('core, running', 'converter.currents.coreRunning'),
    ...(coreSleeps(e.worksheet)
      ? [row('core, asleep while others work', 'converter.currents.coreAsleep')]
      : []),
    row('converter start', 'converter.times.converterStart'),
    row('converter, while converting', 'converter.currents.converter'),
    ...(inputs.converter.reference.source === 'internal'
      ? [
          row('reference start', 'converter.internalReference.startup'),
          row('internal reference', 'converter.currents.internalReference'),
        ]
      : []),
    ...(inputs.conditioning.excitation?.switched
      ? [row(`${sourceLoad(inputs).name} and pin settle`, 'conditioning.excitation.settle')]
      : []),
    ...(inputs.power?.phases ?? []).flatMap((p, i) => [
      row(`${p.name}, time`, `power.phases.${i}.time`),
      row('current meanwhile', `power.phases.${i}.current`),
    ]),
  ]);
}

/** The phases as a plot: current against time. */
function timeLine({ time, charge, e }: Told, c: WorksheetCharge): b.Plot {
  const unit = scaled(c.time / 2, 's');
  const most = Math.max(...c.phases.map((p) => p.current));
  const current = scaled(most, 'A');
  const asleep = current.of(c.idleCurrent);
  const end = 1.03 * c.time;
  const points: (readonly [number, number])[] = [
    [unit.of(-0.03 * c.time), asleep],
    [0, asleep],
  ];
  for (const p of c.phases) {
    points.push([unit.of(p.start), current.of(p.current)]);
    points.push([unit.of(p.start + p.time), current.of(p.current)]);
  }
  points.push([unit.of(c.time), asleep], [unit.of(end), asleep]);
  const y = { ...roundSpan([0, 1.12 * current.of(most)]), from: 0 };
  const largest = c.phases.reduce((a, p) => (p.charge > a.charge ? p : a));
  const wide = (p: TimedPhase): boolean => p.time > 0.3 * c.time;
  const named = c.phases.filter((p) => !wide(p) && p.share >= 0.02);
  return b.plot({
    name: 'time-line',
    claim: `A reading takes ${time(c.time)} and ${charge(c.charge)}, ${percent(largest.share)} of it for ${largest.name}.`,
    text: prose`What has to start is switched on as late as serves, so that all is ready when the first conversion begins. ${
      e.worksheet.inputs.sampling.interval
        ? 'The timer leaves pauses between conversions; the line shows their mean.'
        : ''
    }`,
    description: `Current against time in one reading: ${c.phases.map((p) => `${p.name} ${time(p.time)} at ${amperes(p.current)}`).join(', ')}`,
    x: {
      label: `time since the wake-up, ${unit.unit}`,
      scale: 'linear',
      from: unit.of(-0.03 * c.time),
      to: unit.of(end),
    },
    y: { label: current.unit, scale: 'linear', ...y },
    marks: [
      b.curve({ name: 'current', points, style: 'first' }),
      ...c.phases.filter(wide).map((p) =>
        b.span({
          from: unit.of(p.start),
          to: unit.of(p.start + p.time),
          height: Math.min(0.9, current.of(p.current) / y.to + 0.12),
          text: p.name,
        }),
      ),
      ...named.map((p) =>
        b.point({
          x: unit.of(p.start + p.time / 2),
          y: current.of(p.current),
          standing: 'plain',
          text: p.name,
          place: p.start > c.time / 2 ? 'above left' : 'above right',
        }),
      ),
    ],
    figures: {
      heads: [unit.unit, current.unit, 'phase'],
      rows: c.phases.map((p) => [number(unit.of(p.start)), number(current.of(p.current)), p.name]),
    },
  });
}

/** One reading: plot, table, inputs, working. */
export function chargePhases(t: Told, c: WorksheetCharge): Section[] {
  const { e, time, charge } = t;
  const conversions = c.phases.find((p) => p.kind === 'conversions')!;
  const own = e.worksheet.inputs.power?.phases ?? [];
  const converting = e.worksheet.profile.currents.converter.value;
  const { ratio } = e.averaging;
  const ofConverter = converting * ratio * e.sampling.conversionTime;
  const unit = scaled(Math.max(...c.phases.map((p) => p.time)) / 10, 's');
  const coulombs = scaled(Math.max(...c.phases.map((p) => p.charge)) / 10, 'C');
  const current = scaled(Math.max(...c.phases.map((p) => p.current)) / 2, 'A');
  return [
    {
      body: [timeLine(t, c)],
      margin: [
        b.working({
          result: charge(c.charge),
          open: true,
          steps: [
            { formula: 'Q = sum(k=1; n; I_k t_k)' },
            prose`over the phases. Of the conversions:`,
            { formula: 'Q = I_c R t_c + I_on t' },
            {
              formula: 'I_c R t_c = Q',
              with: {
                I_c: amperes(converting),
                R: String(ratio),
                t_c: time(e.sampling.conversionTime),
                Q: charge(ofConverter),
              },
            },
            {
              formula: 'I_on t = Q',
              with: {
                I_on: amperes((conversions.charge - ofConverter) / conversions.time),
                t: time(conversions.time),
                Q: charge(conversions.charge - ofConverter),
              },
            },
            prose`${symbol('I')}, on throughout: core, a switched ${sourceLoad(e.worksheet.inputs).name}, internal reference.${c.energy ? prose` Energy of a reading at ${formatQuantity({ value: c.energy.supply, unit: 'V' })}: ${formatQuantity({ value: c.energy.energy, unit: 'J' })}.` : ''}`,
          ],
          source: 'Own derivation; the sum agrees with a published node.',
        }),
        paragraph(
          own.length > 0
            ? prose`The phases after the conversions are the worksheet’s own; a radio, a display or a memory that a reading makes work belongs there.`
            : prose`The worksheet names no phases of its own: arithmetic, radio or display come on top (${symbol('power.phases')}).`,
        ),
      ],
    },
    {
      body: [
        b.table({
          name: 'phases',
          claim: `The core ${coreSleeps(e.worksheet) ? 'sleeps while the converter works' : 'runs while the converter works'}.`,
          text: coreSleeps(e.worksheet)
            ? prose`Conversions are summed by hardware, or moved by DMA, without it.`
            : prose`Asleep behind DMA it would draw ${amperes(e.worksheet.profile.currents.coreAsleep.value)} in place of ${amperes(e.worksheet.profile.currents.coreRunning.value)}.`,
          columns: [
            { head: 'phase', words: true },
            { head: 'from', unit: unit.unit, minor: true },
            { head: 'time', unit: unit.unit },
            { head: 'current', unit: current.unit },
            { head: 'charge', unit: coulombs.unit },
            { head: 'share', unit: '%', minor: true },
          ],
          rows: c.phases.map((p) => ({
            cells: [
              p.name,
              number(unit.of(p.start)),
              number(unit.of(p.time)),
              number(current.of(p.current)),
              number(coulombs.of(p.charge)),
              number(100 * p.share, p.share > 0.1 ? 2 : 1),
            ],
          })),
        }),
      ],
    },
    { claim: 'What the phases are made of', body: [phaseInputs(t)] },
  ];
}

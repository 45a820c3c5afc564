/** Life of the battery, or where none is given the average current: against the reading period, and against the ratio. */
import { formatQuantity } from '../../numbers/format.ts';
import type { Drain, WorksheetCharge } from '../../worksheet/chargeOf.ts';
import { sourceLoad } from '../../worksheet/phasesOf.ts';
import { decadeSpan, roundSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { action, entry, onScreen, paragraph, prose, type Section, symbol } from '../blocks.ts';
import { percent } from './chargePhases.ts';
import { decadeTicks, scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

const amperes = (value: number): string => formatQuantity({ value, unit: 'A' });

/** A life in print. */
export const lifeText = (life: number | 'any' | 'none'): string =>
  typeof life === 'number' ? formatQuantity({ value: life, unit: 's' }) : life === 'any' ? 'no end' : '–';

/** Lengths that a life is counted in, s. */
const lengths = [
  ['years', 31_536_000],
  ['days', 86_400],
  ['hours', 3600],
] as const;

/** How a drain stands on an axis: as life where a battery is given, else as current. */
interface Measure {
  readonly unit: string;
  readonly label: string;
  readonly name: string;
  readonly of: (drain: Drain) => number;
  readonly text: (drain: Drain) => string;
}

function measureOf(c: WorksheetCharge): Measure {
  const lives = [c, ...c.ratios, ...c.periods.flatMap((p) => p.points)].map((d) => d.life);
  if (lives.every((life) => typeof life === 'number')) {
    const [name, length] =
      lengths.find(([, s]) => c.life !== 'none' && c.life !== 'any' && c.life >= s) ?? lengths[2];
    return {
      unit: name,
      label: `battery life, ${name}`,
      name: 'life',
      of: (d) => (d.life as number) / length,
      text: (d) => lifeText(d.life),
    };
  }
  const unit = scaled(c.averageCurrent, 'A');
  return {
    unit: unit.unit,
    label: `average current, ${unit.unit}`,
    name: 'average current',
    of: (d) => unit.of(d.averageCurrent),
    text: (d) => amperes(d.averageCurrent),
  };
}

/** The life that is wanted, as a level of the plot. */
function wanted({ e }: Told, measure: Measure): b.Limit[] {
  const life = e.worksheet.inputs.requirement.batteryLife?.value;
  if (life === undefined || measure.name !== 'life') return [];
  return [
    b.limit({
      y: measure.of({ life, averageCurrent: 0 }),
      text: `wanted: ${lifeText(life)}`,
      forbidden: 'below',
      place: 'above right',
    }),
  ];
}

/** Against the reading period. */
function againstPeriod(t: Told, c: WorksheetCharge, measure: Measure): b.Plot {
  const { time, e } = t;
  const { ratio } = e.averaging;
  const to = Math.max(86_400, 3 * c.period);
  const lines = c.periods
    .map((p) => ({ ratio: p.ratio, points: p.points.filter((d) => d.period <= to) }))
    .filter((p) => p.points.length > 1);
  const chosen = lines.find((l) => l.ratio === ratio)!;
  const others = lines.filter((l) => l.ratio !== ratio);
  const from = Math.min(...lines.map((l) => l.points[0]!.period));
  const limits = wanted(t, measure);
  const y = decadeSpan([...lines.flatMap((l) => l.points.map(measure.of)), ...limits.map((l) => l.y)]);
  const alike = c.alikePeriod;
  const x = { from: Math.min(0.1, from), to };
  return b.plot({
    name: 'life-period',
    claim:
      alike === 'none'
        ? 'Nothing is drawn between readings.'
        : alike < c.period
          ? `Readings would decide only if they came faster than one every ${time(alike)}.`
          : `Readings decide up to one every ${time(alike)}.`,
    text: prose`There a reading takes as much as the ${amperes(c.idleCurrent)} that are drawn between two of them. With a far longer period the ratio hardly matters; with a far shorter one, half the period is half the life. Solid: ratio ${String(ratio)}${others.length > 0 ? prose`; ${others.map((l) => `${l.ratio === 1 ? 'thin' : 'dashed'}: ${l.ratio === 1 ? 'a single conversion' : `ratio ${l.ratio}`}`).join('; ')}` : ''}.`,
    description: `${measure.label} against the reading period: ${measure.text(c)} at the present ${time(c.period)}`,
    x: { label: 'reading period, s', scale: 'log', ...x, ...decadeTicks(x.from, x.to) },
    y: { label: measure.label, scale: 'log', ...y, ...decadeTicks(y.from, y.to) },
    marks: [
      ...limits,
      ...others.map((l) =>
        b.curve({
          name: l.ratio === 1 ? 'a single conversion' : `ratio ${l.ratio}`,
          points: l.points.map((d) => [d.period, measure.of(d)] as const),
          style: l.ratio === 1 ? 'thin' : 'second',
        }),
      ),
      b.curve({
        name: `ratio ${ratio}`,
        points: chosen.points.map((d) => [d.period, measure.of(d)] as const),
        style: 'first',
      }),
      b.point({
        x: c.period,
        y: measure.of(c),
        standing: 'chosen',
        text: `${time(c.period)}: ${measure.text(c)}`,
        place: measure.name === 'life' ? 'below right' : 'below left',
      }),
    ],
    figures: {
      heads: ['period', ...lines.map((l) => `× ${l.ratio}, ${measure.unit}`)],
      rows: thinned([...chosen.points.keys()], 12)
        .map((i) => chosen.points[i]!.period)
        .map((period) => [
          time(period),
          ...lines.map((l) => {
            const d = l.points.find((p) => p.period === period);
            return d ? number(measure.of(d)) : '–';
          }),
        ]),
    },
  });
}

/** Against the ratio. */
function againstRatio(t: Told, c: WorksheetCharge, measure: Measure): b.Plot {
  const { charge, time } = t;
  const chosen = c.ratios.find((r) => r.chosen)!;
  const [one, most] = [c.ratios[0]!, c.ratios.at(-1)!];
  const points = c.ratios.map((r) => [r.ratio, measure.of(r)] as const);
  const values = points.map((p) => p[1]);
  // A limit that is far away would leave the curve no room.
  const limits = wanted(t, measure).filter((l) => values.some((v) => l.y < 4 * v && v < 4 * l.y));
  const levels = [...values, ...limits.map((l) => l.y)];
  // A flat line needs no decade.
  const flat = Math.max(...levels) < 2 * Math.min(...levels);
  const lost = 1 - one.averageCurrent / most.averageCurrent;
  const doubled = c.ratios.find((r) => r.ratio === 2 * chosen.ratio);
  return b.plot({
    name: 'life-ratio',
    claim: `From 1 to ${most.ratio}, averaging takes ${percent(lost)} of the average current at ${time(c.period)}.`,
    text: prose`${
      doubled
        ? `One more doubling, to ${doubled.ratio}, takes ${charge(doubled.charge - chosen.charge)} more a reading and ${percent(doubled.averageCurrent / chosen.averageCurrent - 1)} more on average.`
        : `${chosen.ratio} is the most that this converter averages.`
    } Wake-up, start-up and arithmetic are paid once a reading, whatever the ratio.`,
    description: `${measure.label} against the oversampling ratio: ${measure.text(one)} at 1, ${measure.text(chosen)} at the chosen ${chosen.ratio}, ${measure.text(most)} at ${most.ratio}`,
    x: {
      label: 'oversampling ratio',
      scale: 'log',
      from: 1 / 1.15,
      to: most.ratio * 1.15,
      ticks: c.ratios.map((r) => r.ratio).filter((r) => Number.isInteger(Math.log2(r))),
    },
    y: flat
      ? { label: measure.label, scale: 'linear', from: 0, to: roundSpan([0, ...levels]).to }
      : { label: measure.label, scale: 'log', ...decadeSpan(levels) },
    marks: [
      ...limits,
      b.curve({ name: measure.name, points, style: 'first', dots: true }),
      b.point({
        x: chosen.ratio,
        y: measure.of(chosen),
        standing: 'chosen',
        text: `chosen: ${chosen.ratio}: ${measure.text(chosen)}`,
        place: measure.name === 'life' ? 'below left' : 'above left',
      }),
    ],
    figures: {
      heads: ['ratio', 'a reading', 'on average', ...(measure.name === 'life' ? [measure.unit] : [])],
      rows: c.ratios.map((r) => [
        String(r.ratio),
        charge(r.charge),
        amperes(r.averageCurrent),
        ...(measure.name === 'life' ? [number(measure.of(r))] : []),
      ]),
    },
  });
}

const coinCell = {
  'power.battery.capacity': '220 mAh',
  'power.battery.usable': '80 %',
  'power.battery.selfDischarge': '1 %',
};

/** The battery: average current, life, and both plots. */
export function batteryLifeSections(t: Told, c: WorksheetCharge): Section[] {
  const { e, time } = t;
  const { inputs } = e.worksheet;
  const battery = inputs.power?.battery;
  const measure = measureOf(c);
  const life = inputs.requirement.batteryLife
    ? prose` It should last ${entry('requirement.batteryLife')}.`
    : '';
  const stock = battery
    ? prose`A battery of ${entry('power.battery.capacity')}, of which ${entry('power.battery.usable')} can be drawn, loses ${entry('power.battery.selfDischarge')} a year by itself, as much as ${amperes(c.selfDischargeCurrent!)}.${life}`
    : prose`No battery is given, so there is no life to tell.${onScreen(prose` ${action('Give it a coin cell of 220\u202fmAh', coinCell)}`)}`;
  return [
    {
      claim: `On average ${amperes(c.averageCurrent)}: ${percent(c.readingsShare)} for readings, the rest between them.`,
      body: [
        paragraph(
          prose`A reading every ${entry('requirement.period')}; in between the board draws ${entry('converter.currents.sleep')}${
            c.draws.length > 1
              ? `, and the ${sourceLoad(e.worksheet.inputs).name} that nothing switches another ${amperes(c.draws[1]!.current)} all the time`
              : ''
          }.`,
        ),
        paragraph(stock),
      ],
      margin: [
        b.working({
          result: battery ? lifeText(c.life) : amperes(c.averageCurrent),
          steps: [
            { formula: 'I = (Q + I_sleep (T − t))/T + I_on' },
            prose`with ${symbol('Q')} = ${t.charge(c.charge)}, ${symbol('I')} asleep ${amperes(c.draws[0]!.current)}, ${symbol('T')} = ${time(c.period)}, ${symbol('t')} = ${time(c.time)}${c.draws.length > 1 ? prose`, and ${amperes(c.draws[1]!.current)} that are always on` : ''}: ${amperes(c.averageCurrent)}.`,
            ...(battery
              ? [
                  prose`Life, with the usable part ${symbol('u')} and the self-discharge ${symbol('d')} of the nominal charge ${symbol('Q')}:`,
                  { formula: 'L = (u Q_0)/(I + (d Q_0)/year)' },
                  prose`with ${formatQuantity({ value: battery.usable.value, unit: '%' })} of ${formatQuantity({ value: battery.capacity.value, unit: 'C' })}, and ${formatQuantity({ value: battery.selfDischarge.value, unit: '%' })} a year: ${lifeText(c.life)}.`,
                ]
              : []),
          ],
          source: 'A year is 8760 h. Self-discharge is taken as linear.',
        }),
      ],
    },
    { body: [againstPeriod(t, c, measure)] },
    { body: [againstRatio(t, c, measure)] },
  ];
}

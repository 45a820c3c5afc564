/** Low-passes ahead of the pin that let the reading settle: for each capacitor the largest resistor, and what both leave. */

import { lowPassGain } from '../../budget/response.ts';
import { asciiQuantity, formatQuantity } from '../../numbers/format.ts';
import type { AntiAliasRow } from '../../worksheet/antiAliasOf.ts';
import type { WorksheetResponse } from '../../worksheet/responseOf.ts';
import * as b from '../blocks.ts';
import { action, onScreen, prose, type Row, type Section } from '../blocks.ts';
import { gainText, hertz, partText } from './frequencyResponse.ts';
import { number, type Told } from './told.ts';

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });
const farads = (value: number): string => formatQuantity({ value, unit: 'F' });

/** The changes that take a filter. */
const filterChanges = ({ resistor, capacitor }: AntiAliasRow): Record<string, string> => ({
  // An input left empty is left out.
  'conditioning.seriesResistor': resistor === 0 ? '' : asciiQuantity({ value: resistor, unit: 'ohm' }),
  'conditioning.capacitor': asciiQuantity({ value: capacitor, unit: 'F' }),
});

export function antiAlias({ e, small, inSmall }: Told, r: WorksheetResponse): Section {
  const { present, rows, best } = r.antiAlias;
  const rate = 1 / e.sampling.interval;
  const high = r.aliases.filter((a) => a.frequency > rate / 2);
  const words = (row: AntiAliasRow): string =>
    row.resistor === 0
      ? `${farads(row.capacitor)} alone`
      : `${ohms(row.resistor)} and ${farads(row.capacitor)}`;
  const needed = high.length > 0;
  const cells = (row: AntiAliasRow): string[] => [
    row.capacitor === 0 ? 'none' : farads(row.capacitor),
    row.resistor === 0 ? 'none' : ohms(row.resistor),
    hertz(row.corner),
    gainText(row.atRate),
    ...high.map((a) => gainText(lowPassGain({ frequency: a.frequency, timeConstant: row.timeConstant }))),
    row.settlingLsb < 1e-4 ? '<\u202f0.0001' : number(row.settlingLsb, 2),
    number(inSmall(row.leakage)),
  ];
  const settled = present.settlingLsb <= e.sampling.allowedErrorLsb;
  const list: Row[] = [
    {
      cells: cells(present),
      standing: 'chosen',
      verdicts: [settled ? { text: 'as it is' } : { mark: 'miss', text: 'as it is: not settled' }],
    },
    ...rows.map(
      (row): Row => ({
        cells: cells(row),
        ...(row === best && { standing: 'recommended' as const }),
        verdicts: [
          row === best
            ? {
                mark: 'met',
                text:
                  row.atRate <= 0.01 ? 'recommended: smallest that is enough' : 'recommended: leaves least',
              }
            : { text: 'settles' },
        ],
        choose: { label: words(row), changes: filterChanges(row) },
      }),
    ),
  ];
  return {
    body: [
      b.table({
        name: 'anti-alias',
        claim: best
          ? `${words(best)} ${best.resistor === 0 ? 'leaves' : 'leave'} ${partText(best.atRate)} at ${hertz(rate)}, and still ${best.resistor === 0 ? 'settles' : 'settle'}.`
          : rows.length === 0
            ? 'No resistor with a capacitor settles at this sample time.'
            : `No filter that settles does better at ${hertz(rate)} than what there is, ${partText(present.atRate)}.`,
        text: prose`${
          needed
            ? `The worksheet names ${high.map((a) => `${a.name} at ${hertz(a.frequency, 4)}`).join(', ')}, which only a filter ahead of the converter can keep out. `
            : `Nothing is named above half the rate of conversions, so nothing here asks for a filter; what sits near ${hertz(rate)} would pass the mean in full. `
        }For each capacitor the largest series resistor of E3 with which the reading settles to ${formatQuantity({ value: e.sampling.allowedErrorLsb, unit: 'LSB', digits: 2 })}, follows in time, and leakage takes no more than it may.${best ? onScreen(prose` ${action(`Take ${words(best)}`, filterChanges(best))}`) : ''}`,
        columns: [
          { head: 'capacitor' },
          { head: 'resistor' },
          { head: '−3\u202fdB' },
          { head: 'left at', unit: hertz(rate) },
          ...high.map((a) => ({ head: 'at', unit: hertz(a.frequency, 4), minor: true })),
          { head: 'settling', unit: 'LSB', minor: true },
          { head: 'leakage', unit: small, minor: true },
        ],
        rows: list,
      }),
    ],
  };
}

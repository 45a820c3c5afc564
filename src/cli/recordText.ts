/** What the command on recorded codes prints: for people within 80 columns, and for machines. */
import { formatFixed } from '../numbers/format.ts';
import { columns, plain, wrap } from '../page/text/lines.ts';
import type { Spectrum } from '../record/spectrum.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { RecordTake, WorksheetRecord } from '../worksheet/recordOf.ts';
import { extentWords, isDoubtful, recordRows, refusedLines, refusedWords } from '../worksheet/recordRows.ts';
import { lsb } from '../worksheet/recordWords.ts';

const width = 80;
/** Results of averaging whose scatter is worth a line. */
const fewest = 8;
const marks = { holds: '✓', differs: '≠', refuted: '✗', untold: '–' } as const;

/** The measured noise as the worksheet writes it. */
const noiseLine = ({ changes }: RecordTake): string =>
  `"noise": { "value": ${JSON.stringify(changes['converter.noise'])}, "from": "measured", "note": ${JSON.stringify(changes['converter.noise.note'])} }`;

/** The report for people. */
export function recordText(r: WorksheetRecord, worksheet: string, e: Evaluation): string {
  const verdicts = r.verdicts.map((v) => [marks[v.standing], v.name, v.text]);
  const figures = recordRows(e, r).map(({ what, value, remark }) => [`  ${what}`, value, remark]);
  const bits = (value: number): string => formatFixed({ value, decimals: 2 });
  const ratios = r.ratios
    .filter(({ results }) => results >= fewest)
    .map((x) => [
      String(x.ratio),
      lsb(x.expectedLsb),
      lsb(x.measuredLsb),
      bits(x.expectedBits),
      bits(x.measuredBits),
      String(x.results),
    ]);
  const refused = refusedWords(r.report);
  const { take } = r;
  return [
    ...wrap(`${r.name}: ${extentWords(r)}; worksheet ${worksheet}`, width),
    ...(isDoubtful(r.report) ? wrap(`More lines were refused than gave codes. ${refused}`, width) : []),
    '',
    ...columns(verdicts, [false, false, false], width),
    '',
    '✓ holds  ✗ refuted  ≠ differs, to no harm  – this record cannot tell',
    '',
    'Figures',
    ...columns(figures, [false, true, false], width),
    ...(r.sine !== 'none' || ratios.length < 2
      ? []
      : [
          '',
          'Averaged: scatter and bits by the worksheet and by the record',
          ...columns(
            [['ratio', 'expected', 'found', 'bits expected', 'found', 'results'], ...ratios].map((row) => [
              '  ',
              ...row,
            ]),
            [false, true, true, true, true, true, true],
            width,
          ),
        ]),
    ...(refused === ''
      ? []
      : ['', ...wrap(refused, width), ...refusedLines(r.report).map((line) => `  ${line}`.slice(0, width))]),
    ...(take === 'none'
      ? []
      : [
          '',
          'To take the noise into the worksheet, under "converter":',
          ...wrap(noiseLine(take), width, '  '),
        ]),
    '',
  ]
    .map(plain)
    .join('\n');
}

const spectrumFields = (s: Spectrum | 'none') =>
  s === 'none' ? s : { ...s, frequencies: Array.from(s.frequencies), power: Array.from(s.power) };

/** The figures for machines: codes, Hz and s. */
export function recordJson(r: WorksheetRecord): string {
  const { figures, report, noise, sine } = r;
  const { summary, autocorrelation, rate } = figures;
  const { drift } = summary;
  const { problems } = report;
  return `${JSON.stringify(
    {
      record: r.name,
      count: summary.count,
      rate,
      rateFrom: r.rateFrom,
      bits: figures.bits,
      averaged: r.averaged,
      mean: summary.mean,
      standardDeviation: summary.standardDeviation,
      minimum: summary.lowest,
      maximum: summary.highest,
      peakToPeak: summary.peakToPeak,
      missingCodes: summary.missingCodes,
      missing: summary.missing,
      noiseFreeBits: summary.noiseFreeBits,
      effectiveResolution: summary.effectiveResolution,
      transitionNoise: summary.transitionNoise,
      drift:
        drift === 'none'
          ? drift
          : {
              slope: drift.slope * rate,
              slopeUncertainty: drift.slopeUncertainty * rate,
              start: drift.start,
              residual: drift.residual,
            },
      histogram:
        summary.counts === 'none' ? 'none' : { first: summary.lowest, counts: Array.from(summary.counts) },
      autocorrelation:
        autocorrelation === 'none' || autocorrelation.correlations === 'none'
          ? 'none'
          : { ...autocorrelation, correlations: Array.from(autocorrelation.correlations) },
      allan: figures.allan,
      allanMinimum: r.minimum,
      ratios: r.ratios,
      spectrum: spectrumFields(figures.spectrum),
      hum: noise.lines,
      sine:
        sine === 'none'
          ? sine
          : {
              tone: sine.tone,
              fit: sine.fit,
              effectiveBits: sine.effectiveBits,
              expectedBits: sine.expectedBits,
            },
      noise: {
        assumedLsb: r.assumedLsb,
        foundLsb: noise.foundLsb,
        uncertaintyLsb: noise.uncertaintyLsb,
        atMostLsb: noise.atMostLsb,
        parts: noise.parts,
      },
      reading: r.reading,
      verdicts: r.verdicts,
      refuted: r.refuted,
      lines: {
        total: report.lines,
        rows: report.rows,
        header: report.headerLines,
        comments: report.comments,
        blank: report.blank,
        unparsable: problems.unparsable,
        outOfRange: problems['out of range'],
        missing: problems.missing,
        tooLong: problems['too long'],
        cutShort: problems['cut short'],
        timeJumps: problems['time jump'],
        listed: report.listed,
        openEnd: report.openEnd,
      },
    },
    null,
    2,
  )}\n`;
}

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import '../../src/numbers/compound.ts';
import { fieldOf } from '../../src/page/field.ts';
import { canonical } from '../../src/worksheet/canonical.ts';
import { comparison } from '../../src/worksheet/compare.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { findingLabel, findingNames } from '../../src/worksheet/findingNames.ts';
import { isUnreviewed } from '../../src/worksheet/findings.ts';
import type { WorksheetError } from '../../src/worksheet/problem.ts';
import { readWorksheet, type Worksheet } from '../../src/worksheet/read.ts';
import { type ReviewEntry, reviewFrom, reviewText } from '../../src/worksheet/review.ts';
import { worksheetSchema } from '../../src/worksheet/schema/worksheet.ts';
import { withoutValue, withValues } from '../../src/worksheet/write.ts';
import { withReview } from '../../src/worksheet/writeReview.ts';
import { demo, profiles, worksheetTexts } from './demos.ts';
import { type ChannelName, channelNames, channels } from './measurands.ts';

// How a review is kept is a rule of this format, so what is expected here follows from the rule and the text of the file alone.

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

const names = Object.keys(worksheetTexts);
const read = (text: string): Worksheet => readWorksheet({ text, profiles });
const bare = (name: string): Worksheet => withoutValue(demo(name), 'review');
const withNotes = (review: unknown): Worksheet =>
  read(JSON.stringify({ ...JSON.parse(bare('beehive').text), review }));
const refusedBy = (act: () => unknown): string[] => {
  try {
    act();
  } catch (error) {
    return (error as WorksheetError).problems.map((p) => p.message);
  }
  return [];
};
const note = (on: string, more: Partial<Record<keyof ReviewEntry, unknown>> = {}) => ({
  on,
  note: 'why?',
  state: 'open',
  ...more,
});

describe('a note', () => {
  it('is on any input of the worksheet or its profile, or on any finding', () => {
    for (const name of names) {
      const worksheet = bare(name);
      const paths = [...evaluate({ worksheet }).assumed.map((a) => a.path), ...findingNames];
      for (const on of [...paths, 'sensor.kind', 'averaging.ratio', 'requirement.latency']) {
        const { inputs } = withReview(worksheet, { [on]: 'why?' });
        expect(inputs.review).toEqual([note(on)]);
      }
      // What can be noted can be shown: every path that a note is taken on has its field.
      for (const { path } of evaluate({ worksheet }).assumed)
        expect(fieldOf(worksheet, path).label).not.toBe('');
    }
  });

  it.each([
    ['sensor.bta', '"sensor.bta" is no input and no finding; the nearest is sensor.beta'],
    [
      'finding.missed.setling',
      '"finding.missed.setling" is no input and no finding; the nearest is finding.missed.settling',
    ],
    ['sensor', '"sensor" is no input and no finding; the nearest is sensor.'],
    ['sensor.top', 'is no input and no finding'],
    ['calibration.points.7.at', 'is no input and no finding; the nearest is calibration.points.0.at'],
    ['averaging.ratio.from', 'is no input and no finding; the nearest is averaging.ratio'],
    ['title', 'is no input and no finding'],
    ['review.0.note', 'is no input and no finding'],
    ['finding.interference.01', 'is no input and no finding'],
    ['__proto__', '"__proto__" is no input and no finding'],
    ['constructor.prototype', 'is no input and no finding'],
    ['<img src=x onerror=alert(1)>', 'is no input and no finding'],
    ['', 'is no input and no finding'],
  ])('on %j is refused', (on, message) => {
    const [problem, ...others] = refusedBy(() => withNotes([note(on)]));
    expect(problem).toMatch(/^review\.0\.on: /);
    expect(problem).toContain(message);
    expect(others).toEqual([]);
    expect(({} as Record<string, unknown>).note).toBeUndefined();
  });

  it('stands once on each thing; a second one is refused at its place', () => {
    expect(
      refusedBy(() => withNotes([note('sensor.beta'), note('averaging.ratio'), note('sensor.beta')])),
    ).toEqual(['review.2.on: "sensor.beta" has a note already, review.0; make them one']);
  });

  it.each([
    ['\u0007', 'U+0007'],
    ['\n', 'U+000A'],
    ['\u009b', 'U+009B'],
    ['\u202e', 'U+202E'],
    ['\u2028', 'U+2028'],
    ['\ud800', 'U+D800'],
  ])('is a single line of plain text: %j is refused by name', (character, code) => {
    expect(refusedBy(() => withNotes([note('sensor.beta', { note: `a${character}b` })]))).toEqual([
      `review.0.note: the character ${code} will not do; allowed is a single line of text`,
    ]);
  });

  it('takes characters of every script, and markup as the text that it is', () => {
    for (const text of ['Größe β ≤ 3 𝛀, 温度?', '<b>"x"</b> & \\ / {{x}}', "'; --"]) {
      const worksheet = withReview(bare('beehive'), { 'sensor.beta': text });
      expect(worksheet.inputs.review).toEqual([note('sensor.beta', { note: text })]);
    }
  });

  it('is bounded, not empty, and has one of two states', () => {
    const longest = 'x'.repeat(500);
    expect(withNotes([note('sensor.beta', { note: longest })]).inputs.review).toHaveLength(1);
    expect(refusedBy(() => withNotes([note('sensor.beta', { note: `${longest}x` })]))[0]).toContain(
      'text of up to 500 characters',
    );
    expect(refusedBy(() => withNotes([note('sensor.beta', { note: ' ' })]))).toEqual([
      'review.0.note: the note is empty; write what is asked, or take it out',
    ]);
    expect(refusedBy(() => withNotes([note('sensor.beta', { state: 'closed' })]))[0]).toContain(
      'allowed "open" or "answered"',
    );
    expect(refusedBy(() => withNotes([{ ...note('sensor.beta'), by: 'me' }]))[0]).toContain(
      'no key has this name',
    );
    expect(refusedBy(() => withNotes(Array.from({ length: 201 }, () => note('sensor.beta'))))[0]).toContain(
      'a list of 0 … 200',
    );
    expect(refusedBy(() => withNotes([1, null, { on: 3 }])).length).toBeGreaterThanOrEqual(3);
    expect(withNotes([]).inputs.review).toEqual([]);
  });

  it('changes no result: hash and figures stay', () => {
    for (const name of names) {
      expect(demo(name).hash).toBe(bare(name).hash);
      const [a, b] = [evaluate({ worksheet: demo(name) }), evaluate({ worksheet: bare(name) })];
      expect(a.requirements).toEqual(b.requirements);
      expect(a.findings.filter((f) => !isUnreviewed(f))).toEqual(b.findings.filter((f) => !isUnreviewed(f)));
    }
  });
});

describe('a note on one line', () => {
  it('says its state, or leaves it as it was; a new one is open', () => {
    expect(reviewFrom('answered: yes')).toEqual({ state: 'answered', note: 'yes' });
    expect(reviewFrom(' open : 3:4? ')).toEqual({ state: 'open', note: '3:4?' });
    expect(reviewFrom('yes', { state: 'answered' })).toEqual({ state: 'answered', note: 'yes' });
    expect(reviewFrom('yes')).toEqual({ state: 'open', note: 'yes' });
    expect(reviewFrom('opened: yes')).toEqual({ state: 'open', note: 'opened: yes' });
    for (const empty of ['', '  ', 'open:', 'answered:  ']) expect(reviewFrom(empty)).toBeUndefined();
  });

  it('comes back from any note', () => {
    fc.assert(
      fc.property(fc.string({ minLength: 1 }), fc.constantFrom('open', 'answered'), (text, state) => {
        const trimmed = text.trim();
        if (trimmed === '') return;
        expect(reviewFrom(reviewText({ note: trimmed, state: state as 'open' }))).toEqual({
          note: trimmed,
          state,
        });
      }),
      { seed: 3 },
    );
  });
});

describe('writing notes', () => {
  const ends = { lf: '\n', crlf: '\r\n', cr: '\r' };
  const indents = { 'two spaces': '  ', 'four spaces': '    ', tabs: '\t', none: '' };
  const laid = (indent: string, end: string): string =>
    JSON.stringify(JSON.parse(bare('cellar').text), null, indent).replaceAll('\n', end);

  it('the first one makes the list, in the file’s own hand', () => {
    const changed = withReview(bare('beehive'), { 'sensor.beta': 'which lot?' });
    const expected = bare('beehive').text.replace(
      /\n}\n$/,
      ',\n  "review": [\n    { "on": "sensor.beta", "note": "which lot?", "state": "open" }\n  ]\n}\n',
    );
    expect(changed.text).toBe(expected);
    const tabs = withReview(read(laid('\t', '\r\n')), { 'sensor.top': 'which lot?' });
    expect(tabs.text).toBe(
      laid('\t', '\r\n').replace(
        /\r\n}$/,
        ',\r\n\t"review": [\r\n\t\t{ "on": "sensor.top", "note": "which lot?", "state": "open" }\r\n\t]\r\n}',
      ),
    );
    const whole = read(JSON.stringify(JSON.parse(bare('beehive').text)));
    expect(withReview(whole, { 'sensor.beta': 'which lot?' }).text).toBe(
      `${whole.text.slice(0, -1)}, "review": [{ "on": "sensor.beta", "note": "which lot?", "state": "open" }]}`,
    );
  });

  it('a further one stands as its neighbour does', () => {
    const first = { on: 'sensor.beta', note: 'a', state: 'open' };
    const text = bare('beehive').text.replace(
      /\n}\n$/,
      `,\n  "review": ${JSON.stringify([first], null, 2).replaceAll('\n', '\n  ')}\n}\n`,
    );
    const next = { on: 'sensor.r25', note: 'b', state: 'answered' };
    expect(withReview(read(text), { 'sensor.r25': 'answered: b' }).text).toBe(
      bare('beehive').text.replace(
        /\n}\n$/,
        `,\n  "review": ${JSON.stringify([first, next], null, 2).replaceAll('\n', '\n  ')}\n}\n`,
      ),
    );
    const inLine = withReview(demo('beehive'), { 'sensor.r25': 'answered: b' });
    expect(inLine.text).toContain('\n    },\n    {\n      "on": "sensor.r25",\n      "note": "b",');
  });

  it('puts a long one, and the demos’ own, as the canonical form has them', () => {
    const long = 'a question that is longer than what stands on one line of a hundred and twenty characters';
    for (const text of [long, 'short']) {
      const changed = withReview(bare('beehive'), { 'sensor.beta': text });
      expect(changed.text).toBe(canonical(changed.text, worksheetSchema));
    }
  });

  it('changes the words or the state alone, in place', () => {
    const beehive = demo('beehive');
    const own = beehive.inputs.review!.find((r) => r.state === 'open')!;
    const at = beehive.text.lastIndexOf('"open"');
    expect(withReview(beehive, { [own.on]: `answered: ${own.note}` }).text).toBe(
      `${beehive.text.slice(0, at)}"answered"${beehive.text.slice(at + 6)}`,
    );
    expect(withReview(beehive, { [own.on]: 'So?' }).text).toBe(
      beehive.text.replace(JSON.stringify(own.note), '"So?"'),
    );
    expect(withReview(beehive, { [own.on]: 'answered: So?' }).text).toBe(
      `${beehive.text.slice(0, at)}"answered"${beehive.text.slice(at + 6)}`.replace(
        JSON.stringify(own.note),
        '"So?"',
      ),
    );
    // The same words are left in the characters that they were written with; the order of the keys is the file's.
    const escaped = read(
      bare('beehive').text.replace(
        /\n}\n$/,
        ',\n  "review": [{"state":"open","on":"sensor.beta","note":"gro\\u00df?"}]\n}\n',
      ),
    );
    expect(withReview(escaped, { 'sensor.beta': 'open: groß?' })).toBe(escaped);
    expect(withReview(escaped, { 'sensor.beta': 'answered: groß?' }).text).toBe(
      escaped.text.replace('"open"', '"answered"'),
    );
    expect(withReview(escaped, { 'sensor.beta': 'answered: ja' }).text).toBe(
      escaped.text.replace('"open"', '"answered"').replace('"gro\\u00df?"', '"ja"'),
    );
  });

  it('what is put in and taken out again leaves the same bytes, in any layout', () => {
    const subjects = ['sensor.top', 'finding.missed.settling', 'averaging.ratio', 'power.phases.0.time'];
    fc.assert(
      fc.property(
        fc.constantFrom(...Object.values(indents)),
        fc.constantFrom(...Object.values(ends)),
        fc.shuffledSubarray(subjects, { minLength: 1 }),
        fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4 }),
        fc.constantFrom('short', 'x'.repeat(130)),
        (indent, end, put, order, words) => {
          const before = read(indent === '' ? laid('', '') : laid(indent, end));
          const steps = [before];
          for (const on of put) steps.push(withReview(steps.at(-1)!, { [on]: words }));
          const all = steps.at(-1)!;
          expect(all.inputs.review!.map((r) => r.on)).toEqual(put);
          // Nothing but the end of the file changed, and its line ends are of one kind.
          expect(all.text.startsWith(before.text.slice(0, -2).trimEnd())).toBe(true);
          if (indent !== '') expect(all.text.replaceAll(end, '')).not.toMatch(/[\r\n]/);
          // The last one first: every step back is the step there, to the byte.
          let back = all;
          for (const [i, on] of [...put].reverse().entries()) {
            back = withReview(back, { [on]: '' });
            expect(back.text).toBe(steps[put.length - 1 - i]!.text);
          }
          // In any order the file is the same at the end.
          let other = all;
          for (const i of order) if (put[i] !== undefined) other = withReview(other, { [put[i]]: ' ' });
          expect(other.text).toBe(before.text);
        },
      ),
      { seed: 5, numRuns: 60 },
    );
  });

  it('leaves alone what is not there', () => {
    expect(withReview(bare('beehive'), { 'sensor.beta': '' })).toEqual(bare('beehive'));
    expect(withNotes([]).text).toContain('"review":[]');
    expect(withReview(withNotes([]), { 'sensor.beta': 'a' }).inputs.review).toHaveLength(1);
  });
});

describe('findings', () => {
  const of = (name: string, changes: Record<string, string>, notes: Record<string, string> = {}) =>
    evaluate({ worksheet: withReview(withValues(bare(name), changes), notes) });

  it('each has a name that is known, and no two the same', () => {
    const seen = new Set<string>();
    const clipped = read(bare('cellar').text.replace('"6.4 V"', '"9 V"'));
    const channel = (name: ChannelName, more: (document: Document) => void = () => {}) => {
      const document = JSON.parse(bare('beehive').text) as Document;
      channels[name].change(document);
      more(document);
      return evaluate({ worksheet: read(JSON.stringify(document)) });
    };
    for (const e of [
      ...names.map((name) => of(name, {})),
      ...channelNames.map((name) => channel(name)),
      channel('shunt', (d) => {
        delete d.conditioning.amplifier;
      }),
      channel('shunt', (d) => {
        d.conditioning.amplifier.zero = '0.01 V';
      }),
      channel('table of ohms', (d) => {
        d.requirement.range = { low: '1 lx', high: '1000 lx' };
      }),
      of('beehive', { 'averaging.ratio': '8', 'averaging.shift': '8' }),
      of('beehive', { 'averaging.ratio': '64', 'averaging.shift': '1' }),
      of('beehive', { 'requirement.batteryLife': '30 year', 'requirement.period': '1 s' }),
      of('cellar', { 'sensor.allowedCurrent': '1 uA' }),
      of('workbench', { 'sampling.bits': '14', 'conditioning.interference.0.amplitude': '0.5 mV' }),
      of('workbench', { 'requirement.period': '10 ms', 'requirement.latency': '5 ms' }),
      of('workbench', { 'scan.channels.1.sampleCycles': '95', 'scan.channels.0.sourceResistance': '3 Mohm' }),
      evaluate({ worksheet: clipped }),
    ]) {
      const own = e.findings.map((f) => f.name);
      expect(new Set(own).size).toBe(own.length);
      for (const f of e.findings) {
        if (isUnreviewed(f)) expect(e.assumed.map((a) => a.path)).toContain(f.path);
        else {
          expect(findingLabel(f.name), f.name).toBeDefined();
          seen.add(f.name);
        }
      }
    }
    // Every name that is known is one that is found.
    const first = [...seen].map((name) => name.replace(/\.\d+$/, '.0'));
    expect([...new Set(first)].sort()).toEqual([...findingNames].sort());
  });

  it('a note stays on its finding while figures change, and is kept when it is gone', () => {
    const notes = { 'finding.missed.resolution': 'open: more bits?' };
    const texts = ['1 mK', '2 mK'].map((resolution) => {
      const e = of('beehive', { 'requirement.resolution': resolution }, notes);
      expect(e.review).toMatchObject([{ on: 'finding.missed.resolution', subject: 'finding' }]);
      return e.findings.find((f) => f.name === 'finding.missed.resolution')!.text;
    });
    expect(texts[0]).not.toBe(texts[1]);
    const gone = of('beehive', {}, notes);
    expect(gone.review).toEqual([
      {
        ...note('finding.missed.resolution', { note: 'more bits?' }),
        label: 'resolution missed',
        subject: 'gone',
      },
    ]);
  });

  it('an assumed input that no note is on is one, the last in rank; a note in either state makes it none', () => {
    for (const name of names) {
      const worksheet = bare(name);
      const e = evaluate({ worksheet });
      const left = e.findings.filter(isUnreviewed);
      expect(left.map((f) => f.path)).toEqual(e.assumed.map((a) => a.path));
      expect(e.findings.slice(-left.length)).toEqual(left);
      expect(new Set(left.map((f) => f.kind))).toEqual(new Set(['note']));
      for (const state of ['open', 'answered'])
        for (const { path } of e.assumed) {
          const noted = evaluate({ worksheet: withReview(worksheet, { [path]: `${state}: fine` }) });
          expect(noted.findings).toEqual(e.findings.filter((f) => f.path !== path || !isUnreviewed(f)));
          expect(noted.assumed).toEqual(e.assumed);
          expect(noted.review.map((r) => [r.on, r.state, r.subject])).toEqual([[path, state, 'input']]);
        }
    }
    expect(evaluate({ worksheet: bare('beehive') }).findings[0]).toEqual({
      name: 'requirement.step',
      kind: 'note',
      stage: 'reading',
      path: 'requirement.step',
      text: 'The widest step is assumed and not reviewed.',
    });
  });

  it('puts open questions before answered ones', () => {
    const e = of(
      'beehive',
      {},
      { 'sensor.beta': 'answered: a', 'sensor.r25': 'b', 'averaging.ratio': 'answered: c' },
    );
    expect(e.review.map((r) => r.on)).toEqual(['sensor.r25', 'sensor.beta', 'averaging.ratio']);
  });
});

describe('comparing', () => {
  const compared = (a: Worksheet, b: Worksheet) =>
    comparison({ a: evaluate({ worksheet: a }), b: evaluate({ worksheet: b }) });

  it('tells notes apart from inputs: they move nothing', () => {
    const a = withReview(bare('beehive'), {
      'sensor.beta': 'lot?',
      'sensor.r25': 'tolerance?',
      'averaging.ratio': 'x',
    });
    const b = withReview(a, { 'sensor.beta': 'answered: lot?', 'sensor.r25': '', 'averaging.shift': 'y' });
    const found = compared(a, b);
    expect(found).toMatchObject({ inputs: [], results: [], lost: false });
    expect(found.review).toEqual([
      {
        on: 'sensor.beta',
        label: 'beta',
        a: { note: 'lot?', state: 'open' },
        b: { note: 'lot?', state: 'answered' },
      },
      {
        on: 'sensor.r25',
        label: 'thermistor resistance at 25 °C',
        a: { note: 'tolerance?', state: 'open' },
        b: 'none',
      },
      { on: 'averaging.shift', label: 'shift', a: 'none', b: { note: 'y', state: 'open' } },
    ]);
    expect(compared(a, a).review).toEqual([]);
  });

  it('a figure changed beside a note is an input changed, and no note', () => {
    const b = withValues(demo('beehive'), { 'requirement.step': '4 mK' });
    const found = compared(demo('beehive'), b);
    expect(found.review).toEqual([]);
    expect(found.inputs.map((d) => d.path)).toEqual(['requirement.step']);
  });
});

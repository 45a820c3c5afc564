import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import script from '../../notebooks/whole-chain.ts';
import { junitText } from '../../src/cli/junit.ts';
import { pageView } from '../../src/page/page.ts';
import { comparisonContent } from '../../src/page/sections/comparison.ts';
import { openQuestions, reviewedWords, unreviewedWords } from '../../src/page/sections/review.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { comparison } from '../../src/worksheet/compare.ts';
import { isUnreviewed } from '../../src/worksheet/findings.ts';
import { sessionOn } from './demo.ts';

const viewOf = (session: ReturnType<typeof sessionOn>) =>
  pageView({ name: 'whole-chain', ...script }, session, { pages: [] });
const withoutReview = (name: string) =>
  sessionOn(name, (document) => {
    delete document.review;
  });
const saidBy = (session: ReturnType<typeof sessionOn>): string =>
  terminalText(viewOf(session)).replace(/\s+/g, ' ');

describe('a session on notes', () => {
  it('writes, changes, takes back and goes forward, byte for byte', () => {
    const session = withoutReview('beehive');
    const texts = [session.text];
    for (const text of ['why?', 'answered: why?', 'answered: because']) {
      expect(session.write({ 'review.sensor.beta': text })).toBeUndefined();
      texts.push(session.text);
    }
    expect(new Set(texts).size).toBe(4);
    expect(session.undo).toBe('review note on beta');
    for (const text of texts.slice(0, -1).reverse()) {
      session.goBack();
      expect(session.text).toBe(text);
    }
    for (const text of texts.slice(1)) {
      session.goForward();
      expect(session.text).toBe(text);
    }
    expect(session.field('sensor.beta').review).toEqual({
      on: 'sensor.beta',
      note: 'because',
      state: 'answered',
    });
    expect(session.write({ 'review.sensor.beta': '' })).toBeUndefined();
    expect(session.text).toBe(texts[0]);
    expect(session.changes.size).toBe(0);
  });

  it('carries them in the address, together with the inputs that they are about', () => {
    const session = sessionOn('beehive');
    const [own] = session.worksheet.inputs.review!;
    session.write({ 'sensor.beta': '3500 K', 'review.sensor.beta': 'open: why = 3500 & not 3435? 100 % #1' });
    session.write({ [`review.${own!.on}`]: '' });
    session.write({ 'review.finding.missed.step': 'answered: <b>“no”</b>' });
    const other = sessionOn('beehive');
    expect(other.goTo(session.address())).toEqual([]);
    expect(other.text).toBe(session.text);
    expect(other.address()).toBe(session.address());
  });

  it('says why one is refused, and keeps the note it had', () => {
    const session = sessionOn('beehive');
    const { text } = session;
    expect(session.write({ 'review.sensor.beta': 'a\u0007b' })).toBe(
      'Review note: the character U+0007 will not do; allowed is a single line of text. The worksheet keeps the note it had.',
    );
    expect(session.text).toBe(text);
    expect(() => session.write({ 'review.sensor.bta': 'a' })).toThrow(
      'the worksheet has no input or finding "sensor.bta"; the nearest is "sensor.beta"',
    );
    for (const on of [
      '0.note',
      '__proto__',
      'constructor',
      'review.sensor.beta',
      '<img src=x onerror=alert(1)>',
    ])
      expect(() => session.write({ [`review.${on}`]: 'a' }), on).toThrow(
        'the worksheet has no input or finding',
      );
    expect(session.goTo('review.__proto__=open:%20x&review.sensor.beta=open:%20x')).toHaveLength(1);
    expect(session.worksheet.inputs.review!.at(-1)).toEqual({ on: 'sensor.beta', note: 'x', state: 'open' });
    expect(({} as Record<string, unknown>).note).toBeUndefined();
  });

  it('holds whatever can be typed as it was typed, or refuses it', () => {
    const session = withoutReview('beehive');
    let taken = 0;
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 40 }), (text) => {
        const reason = session.write({ 'review.sensor.beta': `open: ${text}` });
        if (reason !== undefined || text.trim() === '') return;
        taken++;
        const other = withoutReview('beehive');
        expect(other.goTo(session.address())).toEqual([]);
        expect(other.worksheet.inputs.review![0]!.note).toBe(text.trim());
      }),
      { seed: 11, numRuns: 200 },
    );
    expect(taken).toBeGreaterThan(50);
  });
});

describe('the review on one sheet', () => {
  it('asks first, then answers, then says what nobody has looked at', () => {
    const session = withoutReview('workbench');
    expect(saidBy(session)).toContain('Review: no question is open');
    expect(saidBy(session)).not.toContain('open in the review');
    session.write({
      'review.sampling.bits': 'answered: stays',
      'review.requirement.resolution': 'who asks?',
      'review.finding.littleNoise': 'add some?',
      'review.finding.missed.settling': 'open: old?',
    });
    const said = saidBy(session);
    expect(said).toContain('3 questions are open in the review.');
    const order = [
      'Review: 3 questions are open',
      'Resolution: 25 m°C, requirement. Open: who asks?',
      '73.3 m°C rms at any ratio. Open: add some?',
      'Settling missed: no longer found. Open: old?',
      'Answered - Native resolution: 12 bits, assumed, “averaging makes up for it”. Answered: stays',
      'Not reviewed - ✗ Readings scatter by 74.9 m°C',
      '6 inputs are assumed and not reviewed: interference tolerance 1, interference tolerance 2, conversion interval,',
      'Not in the figures',
    ].map((words) => [words, said.indexOf(words)] as const);
    for (const [i, [words, at]] of order.entries())
      expect(at, words).toBeGreaterThan(i === 0 ? 0 : order[i - 1]![1]);
    // What has a note is not told twice.
    expect(said.match(/rms at any ratio/g)).toHaveLength(1);
    const markdown = markdownText(viewOf(session)).replaceAll('\u202f', ' ');
    expect(markdown).toContain('- Resolution: 25 m°C, requirement. *Open:* who asks?');
  });

  it('none of a stranger’s note is markup', () => {
    const session = withoutReview('beehive');
    session.write({ 'review.sensor.beta': 'open: <img src=x onerror=alert(1)> **b** [l](j) `c` | \\' });
    expect(markdownText(viewOf(session))).toContain(
      '\\<img src=x onerror=alert(1)\\> \\*\\*b\\*\\* \\[l\\](j) \\`c\\` \\| \\\\',
    );
  });

  it.each(['beehive', 'cellar', 'workbench'])('%s: the demo shows a question and an answer', (name) => {
    const { review } = sessionOn(name).evaluation;
    expect(review.map((r) => r.state)).toEqual(['open', 'answered']);
    expect(review.map((r) => r.subject)).not.toContain('gone');
  });
});

describe('in few words', () => {
  it('many inputs that nobody has reviewed are one line; they drown nothing', () => {
    const { evaluation } = withoutReview('workbench');
    expect(unreviewedWords(evaluation)).toBe(
      '6 inputs are assumed and not reviewed: interference tolerance 1, interference tolerance 2, conversion interval, standard uncertainty of the point 1, standard uncertainty of the point 2, previous voltage.',
    );
    expect(reviewedWords(evaluation)).toBe('');
    const one = withoutReview('workbench');
    for (const { path } of evaluation.assumed.slice(1)) one.write({ [`review.${path}`]: 'fine' });
    expect(unreviewedWords(one.evaluation)).toBe(
      'One input is assumed and not reviewed: interference tolerance 1.',
    );
    expect(openQuestions(one.evaluation)[0]).toBe('Interference tolerance 2 (5\u202f%, assumed): fine');
    one.write({ [`review.${evaluation.assumed[0]!.path}`]: 'answered: fine' });
    expect(unreviewedWords(one.evaluation)).toBe('');
  });

  it('the XML for automatic checks has questions and one line of unreviewed inputs, and no more failures', () => {
    const session = sessionOn('workbench');
    session.write({ 'review.averaging.shift': 'open: <2> & "why"?' });
    const xml = junitText({ evaluation: session.evaluation, name: 'workbench' });
    const out = /<system-out>([\s\S]*)<\/system-out>/.exec(xml)![1]!.split('\n');
    expect(out.filter((l) => l.startsWith('question: '))).toHaveLength(2);
    expect(out).toContain('question: Shift (2, assumed): &lt;2&gt; &amp; &quot;why&quot;?');
    expect(out.filter((l) => l.includes('not reviewed'))).toEqual([out.at(-1)]);
    expect(xml.match(/<failure/g)).toHaveLength(1);
    expect(session.evaluation.findings.filter(isUnreviewed)).toHaveLength(5);
  });

  it('a comparison tells notes apart from inputs', () => {
    const [a, b] = [sessionOn('beehive'), sessionOn('beehive')];
    b.write({ 'review.power.battery.usable': 'answered: a third', 'review.sensor.beta': 'lot?' });
    const content = comparisonContent({
      a: { name: 'a', worksheet: a.worksheet },
      b: { name: 'b', worksheet: b.worksheet },
      comparison: comparison({ a: a.evaluation, b: b.evaluation }),
    });
    const tables = content.sections.flatMap((s) => s.body).filter((t) => t.type === 'table');
    expect(tables.map((t) => t.name)).toEqual(['requirements', 'review']);
    expect(tables[1]).toMatchObject({
      claim: '2 review notes differ; notes change no result.',
      rows: [
        { cells: ['usable part', 'open → answered, other words', 'a third'] },
        { cells: ['beta', 'new, open', 'lot?'] },
      ],
    });
  });
});

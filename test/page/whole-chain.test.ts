import { describe, expect, it } from 'vitest';
import script from '../../notebooks/whole-chain.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { isUnreviewed } from '../../src/worksheet/findings.ts';
import { sessionOn } from './demo.ts';

const shown = (name: string) => {
  const session = sessionOn(name);
  return { session, view: pageView({ name: 'whole-chain', ...script }, session, { pages: [] }) };
};

describe('everything on one sheet', () => {
  it.each(['beehive', 'cellar', 'workbench'])(
    'of %s is whole and names every requirement and every assumption',
    (name) => {
      const { session, view } = shown(name);
      const terminal = terminalText(view);
      expect(`${terminal}${markdownText(view)}`).not.toMatch(/NaN|undefined|Infinity|\[object/);
      expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
      const flat = terminal.replace(/\s+/g, ' ');
      for (const { label } of session.evaluation.assumed)
        expect(flat.toLowerCase()).toContain(label.toLowerCase());
      for (const f of session.evaluation.findings.filter((f) => !isUnreviewed(f)))
        expect(flat).toContain(f.text.replace(/\s+/g, ' '));
      expect(flat.match(/ (met|✗ missed)\b/g)!.length).toBeGreaterThanOrEqual(
        session.evaluation.requirements.length,
      );
    },
  );

  it('says at once how many requirements are missed', () => {
    expect(JSON.stringify(shown('beehive').view.content.answer)).toMatch(/All \d requirements are met/);
    expect(JSON.stringify(shown('workbench').view.content.answer)).toMatch(
      /of \d requirements (is|are) missed/,
    );
  });
});

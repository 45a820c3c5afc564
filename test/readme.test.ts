import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { allPages } from '../src/cli/sources.ts';
import * as halfbit from '../src/index.ts';
import { type PageScript, pageView } from '../src/page/page.ts';
import { terminalText } from '../src/page/text/terminal.ts';
import { expectPrinted } from './close.ts';
import { sessionOn } from './page/demo.ts';

// What the README shows is what happens. With UPDATE_README set, printed output is written into it anew.

const readme = readFileSync('README.md', 'utf8');
const run = (...args: string[]): string =>
  spawnSync(process.execPath, ['--import', 'tsx', 'src/cli/main.ts', ...args], { encoding: 'utf8' }).stdout;

describe('the README', () => {
  it('opens with one paragraph that states the job', () => {
    const [title, job] = readme.split(/\n\n/);
    expect(title).toBe('# Halfbit');
    expect(job!.split('\n').length).toBeGreaterThan(3);
    expect(job).not.toMatch(/^[#`|-]/);
  });

  it('shows what its commands print', () => {
    const updated = readme.replace(
      /```console\n\$ npm run -s halfbit -- (.+)\n[\s\S]*?```/g,
      (_, words: string) => {
        return `\`\`\`console\n$ npm run -s halfbit -- ${words}\n${run(...words.split(' '))}\`\`\``;
      },
    );
    if (process.env.UPDATE_README) writeFileSync('README.md', updated);
    else expect(readme).toBe(updated);
  });

  it('shows what its calls give', () => {
    const calls = [...readme.matchAll(/^(\w+\(.+\)[.\w]*); \/\/ => ([-\d.]+)$/gm)];
    expect(calls.length).toBeGreaterThan(2);
    for (const [, call, shown] of calls) {
      const value: number = new Function(...Object.keys(halfbit), `return ${call}`)(
        ...Object.values(halfbit),
      );
      expectPrinted(value, shown!, call);
    }
  });

  it('lists every page with its question', async () => {
    for (const { name, question } of await allPages())
      expect(readme).toContain(`| \`${name}\` | ${question} |`);
  });

  it('lists every command', () => {
    for (const [, name] of run('help').matchAll(/^halfbit ([a-z]+)/gm))
      expect(readme).toMatch(new RegExp(`^\\| \`${name}[ \`]`, 'm'));
  });
});

describe('its page of your own', () => {
  // A folder laid out like the project, so that the script stands as it would in notebooks/.
  mkdirSync('build', { recursive: true });
  const folder = mkdtempSync('build/readme-');
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('works as it stands, in under 50 lines', async () => {
    const script = /```ts\n(import \{ formatQuantity[\s\S]*?)```/.exec(readme)![1]!;
    expect(script.split('\n').length).toBeLessThan(50);
    mkdirSync(join(folder, 'notebooks'));
    symlinkSync(resolve('src'), join(folder, 'src'));
    writeFileSync(join(folder, 'notebooks/step-and-noise.ts'), script);
    const module = (await import(resolve(folder, 'notebooks/step-and-noise.ts'))) as { default: PageScript };
    const page = { name: 'step-and-noise', ...module.default };
    const text = terminalText(pageView(page, sessionOn('beehive'), { pages: [] }));
    expect(text).toContain('No: steps of 3.76 m°C, noise of 2.72 m°C rms.');
    expect(text).toContain('2³/64');
  });
});

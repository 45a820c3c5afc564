import { spawn, spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { oversample } from '../../src/chain/averaging/oversample.ts';
import { builtPages } from '../../src/cli/build.ts';
import { demoWorksheet, profileTexts, worksheetFile } from '../../src/cli/files.ts';
import { halfbit } from './halfbit.ts';

// The package as someone elsewhere gets it: packed, installed into an empty folder without a network and without a cache.

const windows = process.platform === 'win32';
const folder = mkdtempSync(join(tmpdir(), 'halfbit-package-'));
const installed = join(folder, 'node_modules/halfbit');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const run = (program: string, args: readonly string[], cwd = folder) => {
  const { status, stdout, stderr } = spawnSync(program, args, { cwd, encoding: 'utf8', shell: windows });
  return { code: status, out: stdout, err: stderr };
};
const program = join(folder, 'node_modules/.bin/halfbit');
const packed = (...args: string[]) => run(program, args);

beforeAll(() => {
  const pack = run('npm', ['pack', '--silent', '--pack-destination', folder], '.');
  expect(pack.err).toBe('');
  expect(pack.code).toBe(0);
  writeFileSync(join(folder, 'package.json'), '{ "private": true, "type": "module" }\n');
  const tarball = readdirSync(folder).find((f) => f.endsWith('.tgz'))!;
  const cache = join(folder, 'cache');
  const install = run('npm', ['install', '--silent', '--offline', '--cache', cache, `./${tarball}`]);
  expect(install.err).toBe('');
  expect(install.code).toBe(0);
});

describe('what is in it', () => {
  it('is what is needed and nothing that is not', () => {
    expect(readdirSync(installed).sort()).toEqual(['LICENSE', 'README.md', 'data', 'dist', 'package.json']);
    expect(readdirSync(join(folder, 'node_modules')).filter((f) => !f.startsWith('.'))).toEqual(['halfbit']);
    expect(JSON.parse(readFileSync(join(installed, 'package.json'), 'utf8')).dependencies).toBeUndefined();
  });

  it('has the licence of everything that is inside its bundles', () => {
    const licences = readFileSync(join(installed, 'dist/LICENCES.txt'), 'utf8');
    const sources = readdirSync('src', { recursive: true, encoding: 'utf8' }).filter((f) =>
      /\.tsx?$/.test(f),
    );
    const texts = sources.map((file) => readFileSync(join('src', file), 'utf8'));
    // What the sources import by name, other than types and what node itself brings, is inside.
    const imported = /^import (?!type).* from '((?:@[^/']+\/)?[^./:'][^/:']*)['/]/gm;
    const names = new Set(texts.flatMap((text) => [...text.matchAll(imported)].map((m) => m[1]!)));
    names.delete('esbuild');
    expect(names.size).toBeGreaterThan(5);
    for (const name of names) {
      const { version } = JSON.parse(readFileSync(`node_modules/${name}/package.json`, 'utf8'));
      expect(licences).toContain(`${name} ${version}, `);
    }
  });

  it('comes from a project whose lock file names no registry', () => {
    expect(readFileSync('package-lock.json', 'utf8')).not.toContain('"resolved"');
  });
});

describe('the command', () => {
  it.each([
    [['check']],
    [['check', '--json', resolve('data/worksheets/workbench.json')]],
    [['convert', '2048']],
    [['codes']],
    [['show', 'temperature-ratio']],
    [['show', 'temperature-ratio', '--markdown', '--set', 'averaging.ratio=16']],
    [['help']],
    [['nothing']],
  ])('says what it says in a checkout: %j', (args) => {
    const here = packed(...args);
    expect(here).toEqual(halfbit(args));
    expect(here.out + here.err).not.toBe('');
  });

  it('says of a long record, which two threads read, what it says in a checkout', () => {
    const record = join(folder, 'long.txt');
    writeFileSync(record, readFileSync('data/records/beehive.txt', 'utf8').repeat(450));
    const args = ['record', record, '--json'];
    const here = packed(...args);
    expect(here).toEqual(halfbit(args));
    expect(JSON.parse(here.out).count).toBe(450 * 4096);
  });

  it('builds the pages, to the byte those of a checkout', async () => {
    const { code, out, err } = packed('build', '--out', 'pages');
    expect(err).toBe('');
    expect(code).toBe(0);
    const pages = await builtPages({ worksheet: worksheetFile(), profiles: profileTexts(demoWorksheet) });
    expect(out.trim().split('\n')).toEqual(pages.map(({ name }) => join('pages', `${name}.html`)));
    for (const { name, html } of pages) {
      expect(readFileSync(join(folder, 'pages', `${name}.html`), 'utf8') === html, name).toBe(true);
    }
  });

  it('builds into the folder one stands in, never into its own', () => {
    expect(packed('build').code).toBe(0);
    expect(existsSync(join(folder, 'build/temperature-ratio.html'))).toBe(true);
    expect(existsSync(join(installed, 'build'))).toBe(false);
  });

  it('serves the pages, and anew when the worksheet changes', async () => {
    const worksheet = join(folder, 'mine.json');
    cpSync(demoWorksheet, worksheet);
    const child = spawn(program, ['serve', 'mine.json', '--port', '9733'], { cwd: folder, shell: windows });
    onTestFinished(() => void child.kill());
    const url = await new Promise<string>((found, failed) => {
      let said = '';
      child.stdout.setEncoding('utf8').on('data', (text: string) => {
        said += text;
        const address = /The pages: (\S+)/.exec(said)?.[1];
        if (address) found(address);
      });
      child.on('exit', () => failed(new Error(said)));
    });
    const page = async (): Promise<string> => (await fetch(`${url}temperature-ratio.html`)).text();
    expect(await page()).toContain('Brood-nest temperature');
    const changes = (await fetch(`${url}changes`)).body!.pipeThrough(new TextDecoderStream()).getReader();
    expect((await changes.read()).value).toContain('open');
    const text = readFileSync(worksheet, 'utf8');
    writeFileSync(worksheet, text.replace('Brood-nest temperature', 'Hive, rebuilt'));
    expect((await changes.read()).value).toContain('built');
    await changes.cancel();
    expect(await page()).toContain('Hive, rebuilt');
  });
});

describe('the library', () => {
  const script = `
import { evaluate, oversample, readProfile, readWorksheet, quantity, WorksheetError } from 'halfbit';
import type { Evaluation, Worksheet } from 'halfbit';
import lowPower from 'halfbit/data/converters/low-power.json' with { type: 'json' };
import beehive from 'halfbit/data/worksheets/beehive.json' with { type: 'json' };

const profiles = { 'low-power': readProfile({ text: JSON.stringify(lowPower) }) };
const worksheet: Worksheet = readWorksheet({ text: JSON.stringify(beehive), profiles });
const evaluation: Evaluation = evaluate({ worksheet });
const bits: number = oversample({ bits: 12, noiseLsb: 0.5, ratio: 256, shift: 4 }).effectiveBits;
const slope: number = quantity({ text: '10 mV/K', unit: 'V/K' }).value;
let refused = false;
try {
  readWorksheet({ text: '{}', profiles });
} catch (error) {
  refused = error instanceof WorksheetError;
}

// @ts-expect-error: an argument that there is not
const unknown = () => oversample({ bits: 12, noiseLsb: 0.5, ratio: 256, shift: 4, volts: 1 });
// @ts-expect-error: a number is no text
const text: string = bits;
// @ts-expect-error: the figures have names
const misnamed = () => evaluation.averaging.efectiveBits;

export const figures = { bits, slope, refused, ratio: evaluation.averaging.ratio, met: evaluation.requirements.every((r) => r.met) };
export const never = [unknown, text, misnamed];
`;
  const tsc = resolve('node_modules/typescript/bin/tsc');
  const options = [
    '--strict',
    '--exactOptionalPropertyTypes',
    '--noUncheckedIndexedAccess',
    '--skipLibCheck',
    'false',
    '--resolveJsonModule',
    '--types',
    '',
    '--lib',
    'es2023',
    '--target',
    'es2022',
  ];

  it.each([
    ['nodenext', 'nodenext'],
    ['esnext', 'bundler'],
  ])('has types: %s, %s', (module, resolution) => {
    writeFileSync(join(folder, 'use.ts'), script);
    mkdirSync(join(folder, 'out'), { recursive: true });
    const { code, out } = run(process.execPath, [
      tsc,
      ...options,
      '--module',
      module,
      '--moduleResolution',
      resolution,
      '--outDir',
      'out',
      'use.ts',
    ]);
    expect(out).toBe('');
    expect(code).toBe(0);
  });

  it('computes what the sources compute', () => {
    const { out } = run(process.execPath, [
      '-e',
      "import('./out/use.js').then(({ figures }) => console.log(JSON.stringify(figures)))",
    ]);
    const { effectiveBits } = oversample({ bits: 12, noiseLsb: 0.5, ratio: 256, shift: 4 });
    expect(JSON.parse(out)).toEqual({
      bits: effectiveBits,
      slope: 0.01,
      refused: true,
      ratio: 64,
      met: true,
    });
  });

  it('gives its formats as JSON Schema', () => {
    for (const name of ['worksheet', 'converter']) {
      const text = readFileSync(join(installed, `data/${name}.schema.json`), 'utf8');
      expect(JSON.parse(text).$schema).toMatch(/json-schema/);
      expect(text).toBe(readFileSync(`data/${name}.schema.json`, 'utf8'));
    }
  });
});

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { describe, expect, it } from 'vitest';
import { expectPrinted } from './close.ts';

// House rules that a reader relies on, kept by the machine.

/** The folders of src/ in the order of import: a file imports only from its own folder and from those before it. */
const folders = ['numbers', 'chain', 'budget', 'plan', 'record', 'worksheet', 'firmware', 'page', 'cli'];

/** The stages of the chain in the order the signal passes them; a stage imports only from those before it. */
const stages = ['source', 'conditioning', 'sampling', 'quantizing', 'averaging', 'reading', 'watchdog'];

/** Folders that know neither files, nor the clock, nor the document. */
const pure = folders.slice(0, folders.indexOf('page'));

const sources = (dir: string): { file: string; text: string }[] =>
  existsSync(dir)
    ? readdirSync(dir, { recursive: true, encoding: 'utf8' })
        .filter((f) => /\.tsx?$/.test(f))
        .map((f) => ({ file: normalize(join(dir, f)), text: readFileSync(join(dir, f), 'utf8') }))
    : [];

const importsOf = ({ file, text }: { file: string; text: string }): string[] =>
  [...text.matchAll(/(?:from|import|import\()\s*'(\.[^']+)'/g)].map((m) =>
    normalize(join(dirname(file), m[1]!)),
  );

const src = sources('src');

/** Place of a src/ file in the order of import: folder, then stage within chain/. */
function rank(file: string): number {
  const [folder, next] = relative('src', file).split('/');
  if (folder === 'index.ts') return folders.indexOf('page') - 0.5;
  const at = folders.indexOf(folder!);
  if (at < 0) return Number.NaN;
  if (folder !== 'chain') return at;
  const stage = stages.indexOf(next!.replace(/\.ts$/, ''));
  return stage < 0 ? Number.NaN : at + stage / 100;
}

describe('the order of src/', () => {
  it('every file has a place in it', () => {
    for (const { file } of src) expect(rank(file), `${file} has no place in the order`).not.toBeNaN();
  });

  it('imports point backwards, or stay within a folder or stage', () => {
    for (const s of src) {
      for (const target of importsOf(s)) {
        if (!target.startsWith('src/')) continue;
        expect(rank(target) <= rank(s.file), `${s.file} imports the later ${target}`).toBe(true);
      }
    }
  });

  it('has no cycles', () => {
    const graph = new Map(src.map((s) => [s.file, importsOf(s)]));
    const state = new Map<string, 'open' | 'done'>();
    const walk = (file: string, path: string[]): void => {
      if (state.get(file) === 'done' || !graph.has(file)) return;
      expect(state.get(file), `cycle: ${[...path, file].join(' → ')}`).not.toBe('open');
      state.set(file, 'open');
      for (const next of graph.get(file)!) walk(next, [...path, file]);
      state.set(file, 'done');
    };
    for (const file of graph.keys()) walk(file, []);
  });

  it('the computation knows no files, no clock and no document', () => {
    for (const { file, text } of src.filter((s) => pure.some((f) => s.file.startsWith(`src/${f}/`)))) {
      expect(text, file).not.toMatch(
        /from 'node:|\bDate[.(]|\bdocument\.(?:create|query|body)|\bwindow\.(?:add|document)|Math\.random|performance\.now/,
      );
    }
  });
});

describe('sources', () => {
  const known = new Set(
    [...readFileSync('data/SOURCES.md', 'utf8').matchAll(/^## \[(.+?)\]/gm)].map((m) => m[1]!),
  );
  const cited = new Map<string, string>();
  for (const { file, text } of [...src, ...sources('test'), ...sources('notebooks')].filter(
    (s) => !s.file.startsWith('src/cli/'),
  )) {
    for (const [, key] of text.matchAll(/\[([A-Z][A-Z]+[A-Za-z0-9-]*|[A-Z][a-z]+\d{4})\]/g))
      cited.set(key!, file);
  }

  it('every cited source has its entry in data/SOURCES.md', () => {
    for (const [key, file] of cited)
      expect(known.has(key), `${file} cites [${key}], which has no entry`).toBe(true);
  });

  it('every entry is cited', () => {
    for (const key of known) expect(cited.has(key), `[${key}] has an entry but is never cited`).toBe(true);
  });
});

describe('examples', () => {
  // ` * call(…) // => value`, run with the module's exports in scope and compared to the digits shown.
  const pattern = /^ \* (\w.*?) \/\/ => (.+)$/gm;
  for (const { file, text } of src.filter((s) => !s.file.startsWith('src/cli/'))) {
    const examples = [...text.matchAll(pattern)];
    if (examples.length === 0) continue;
    it(`of ${file} give what they show`, async () => {
      const module = (await import(join('..', file))) as Record<string, unknown>;
      for (const [, call, shown] of examples) {
        const actual: unknown = new Function(...Object.keys(module), `return ${call}`)(
          ...Object.values(module),
        );
        if (/^[-−]?[\d.]+(e[-+]?\d+)?$/.test(shown!))
          expectPrinted(actual as number, shown!, `${file}: ${call}`);
        else expect(actual, `${file}: ${call}`).toEqual(new Function(`return (${shown})`)());
      }
    });
  }

  // A document is no one-line example, and an error is no call.
  const exempt = (from: string, name: string): boolean =>
    from.startsWith('worksheet/') || name.endsWith('Error');

  it('every public function has one', () => {
    const index = existsSync('src/index.ts') ? readFileSync('src/index.ts', 'utf8') : '';
    for (const [, names, from] of index.matchAll(/export \{([^}]+)\} from '\.\/([^']+)'/g)) {
      const text = readFileSync(join('src', from!), 'utf8');
      for (const name of names!
        .split(',')
        .map((n) => n.trim())
        .filter((n) => n && !n.startsWith('type ') && !exempt(from!, n))) {
        const doc = new RegExp(
          `/\\*\\*(?:(?!\\*/)[\\s\\S])*?\\*/\\nexport (?:async )?(?:function|const) ${name}\\b`,
        ).exec(text)?.[0];
        expect(doc, `src/${from}: ${name} has no doc comment`).toBeDefined();
        expect(doc, `src/${from}: ${name} has no example that is run`).toMatch(/ \/\/ => /);
      }
    }
  });
});

/**
 * Makes dist/, what a package holds beside data/: the program bundled, the computation bundled with its types, the browser's
 * scripts of all pages. Whoever installs the package needs nothing else. Run by `npm pack`, ahead of packing.
 */
import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { type BuildOptions, build, type Plugin } from 'esbuild';
import { home, writeWhole } from './files.ts';
import { allPages, pageScripts, sheetPath } from './sources.ts';

const dist = join(home, 'dist');
const pages = await allPages();

/** In place of the sources stands what was made of them; all pages become one module. */
const packed: Plugin = {
  name: 'packed',
  setup(b) {
    b.onResolve({ filter: /\/sources\.ts$/ }, () => ({ path: join(home, 'src/cli/packed.ts') }));
    b.onResolve({ filter: /^pages:$/ }, () => ({ path: 'pages', namespace: 'pages' }));
    b.onLoad({ filter: /.*/, namespace: 'pages' }, () => ({
      contents: [
        ...pages.map(({ name }, i) => `import p${i} from ${JSON.stringify(`./notebooks/${name}.ts`)};`),
        `export default [${pages.map(({ name }, i) => `{ name: ${JSON.stringify(name)}, ...p${i} }`)}];`,
      ].join('\n'),
      resolveDir: home,
      loader: 'ts',
    }));
  },
};

/** Names stay as they are written, so that a trace can be read. */
const common = {
  bundle: true,
  metafile: true,
  absWorkingDir: home,
  format: 'esm',
  target: 'es2022',
  minifySyntax: true,
  minifyWhitespace: true,
  legalComments: 'none',
  jsx: 'automatic',
  jsxImportSource: 'preact',
  mainFields: ['module', 'main'],
  logLevel: 'warning',
} satisfies BuildOptions;

/** Writes the types of the library: of all that it exports, and of nothing else. */
function writeTypes(): void {
  const folder = mkdtempSync(join(tmpdir(), 'halfbit-types-'));
  const compilerOptions = {
    noEmit: false,
    declaration: true,
    emitDeclarationOnly: true,
    types: [],
    rootDir: join(home, 'src'),
    outDir: folder,
  };
  const config = {
    extends: join(home, 'tsconfig.json'),
    compilerOptions,
    files: [join(home, 'src/index.ts')],
    include: [],
  };
  writeFileSync(join(folder, 'tsconfig.json'), JSON.stringify(config));
  const tsc = join(home, 'node_modules/typescript/bin/tsc');
  const { status } = spawnSync(process.execPath, [tsc, '-p', folder], { stdio: 'inherit' });
  if (status !== 0) throw new Error('the types could not be made');
  const seen = new Set<string>();
  const take = (file: string): void => {
    if (seen.has(file)) return;
    seen.add(file);
    // What is imported for its effect alone has no types.
    const text = readFileSync(join(folder, file), 'utf8').replace(/^import '[^']+';\n/gm, '');
    writeWhole(join(dist, 'types', file), text);
    for (const [, from] of text.matchAll(/(?:from |import\()["']([^"']+)["']/g)) {
      if (!from!.startsWith('.')) throw new Error(`the types in ${file} need ${from}`);
      take(join(dirname(file), from!.replace(/\.ts$/, '.d.ts')));
    }
  };
  take('index.d.ts');
  rmSync(folder, { recursive: true });
}

/** The licences of all that is inside the bundles beside our own work. */
function licences(files: readonly string[]): string {
  const folders = files.map((file) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file)?.[0]);
  const texts = [...new Set(folders)]
    .filter((folder) => folder !== undefined)
    .sort()
    .map((folder) => {
      const about = JSON.parse(readFileSync(join(home, folder, 'package.json'), 'utf8')) as Record<
        string,
        string
      >;
      const file = readdirSync(join(home, folder)).find((f) => /^licen[cs]e/i.test(f));
      if (file === undefined) throw new Error(`${folder}: no licence`);
      return `${about.name} ${about.version}, ${about.license}\n\n${readFileSync(join(home, folder, file), 'utf8').trim()}\n`;
    });
  return texts.join(`\n${'-'.repeat(80)}\n\n`);
}

rmSync(dist, { recursive: true, force: true });
const program = await build({
  ...common,
  platform: 'node',
  entryPoints: {
    main: join(home, 'src/cli/main.ts'),
    recordPart: join(home, 'src/cli/recordPart.ts'),
    pages: 'pages:',
  },
  outdir: join(dist, 'cli'),
  splitting: true,
  plugins: [packed],
});
const library = await build({
  ...common,
  platform: 'neutral',
  entryPoints: { index: join(home, 'src/index.ts') },
  outdir: dist,
});

for (const [name, script] of await pageScripts(pages)) writeWhole(join(dist, `pages/${name}.js`), script);
copyFileSync(sheetPath, join(dist, 'pages/sheet.css'));

writeTypes();

const inside = [program, library]
  .flatMap(({ metafile }) => Object.values(metafile.outputs))
  .flatMap(({ inputs }) => Object.entries(inputs))
  .filter(([, { bytesInOutput }]) => bytesInOutput > 0)
  .map(([file]) => file);
writeWhole(join(dist, 'LICENCES.txt'), licences(inside));

/** All tests: format and lint, types, then everything under test/. The last line printed is `N passed, N failed`. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureBrowser } from './browser/chromium.ts';

let passed = 0;
let failed = 0;
const run = (tool: string, ...args: string[]): boolean =>
  spawnSync(process.execPath, [join('node_modules', tool), ...args], {
    stdio: ['ignore', 'inherit', 'inherit'],
  }).status === 0;
const judge = (ok: boolean, what: string): void => {
  console.log(`${ok ? 'ok' : 'FAILED'}: ${what}`);
  if (ok) passed++;
  else failed++;
};

judge(run('@biomejs/biome/bin/biome', 'check', '--error-on-warnings', '.'), 'format and lint');
judge(run('typescript/bin/tsc'), 'types');

const browser = ensureBrowser();
if (!browser) {
  console.log('Browser tests are skipped: no Chromium or Chrome was found (CHROME_BIN names one).');
  if (process.env.CI) judge(false, 'a browser to test with');
}

const folder = mkdtempSync(join(tmpdir(), 'halfbit-test-'));
const report = join(folder, 'report.json');
const args = [
  'run',
  '--config',
  'test/vitest.config.ts',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${report}`,
];
const ok = run(
  'vitest/vitest.mjs',
  ...args,
  ...(browser ? [] : ['--exclude', 'test/browser/**']),
  ...process.argv.slice(2),
);
try {
  const counts = JSON.parse(readFileSync(report, 'utf8')) as {
    numPassedTests: number;
    numFailedTests: number;
  };
  passed += counts.numPassedTests;
  failed += counts.numFailedTests;
  // A file that could not even be loaded fails without a failed test.
  if (!ok && counts.numFailedTests === 0) judge(false, 'loading of the test files');
} catch {
  judge(false, 'running the tests');
}
rmSync(folder, { recursive: true, force: true });

console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;

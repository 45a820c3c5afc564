/** The system's C and C++ compilers, for tests that compile what is handed on. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe } from 'vitest';

const here = (command: string): boolean => spawnSync(command, ['--version']).status === 0;
const found = here('cc') && here('c++');
if (!found && !process.env.CI)
  process.stdout.write('skipped: no cc and c++ here, so no header is compiled\n');

/** `describe`, skipped where there is no compiler; on a server of automatic checks that is a failure. */
export const describeCompiled = found || process.env.CI ? describe : describe.skip;

const strict = ['-Wall', '-Wextra', '-Wconversion', '-Werror', '-pedantic'];

/** How files are taken: as C99, C11, C++98 would lack its types. */
export const languages = {
  c99: ['cc', '-x', 'c', '-std=c99'],
  c11: ['cc', '-x', 'c', '-std=c11'],
  'c++11': ['c++', '-x', 'c++', '-std=c++11'],
  'c++17': ['c++', '-x', 'c++', '-std=c++17'],
} as const;
export type Language = keyof typeof languages;

/** A folder of files to be compiled. */
export class Workshop {
  readonly folder = mkdtempSync(join(tmpdir(), 'halfbit-firmware-'));

  constructor() {
    afterAll(() => rmSync(this.folder, { recursive: true, force: true }));
  }

  write(name: string, text: string): void {
    writeFileSync(join(this.folder, name), text);
  }

  /** Complaints of the compiler about a file; '' for none. */
  complaints(file: string, language: Language): string {
    const [command, ...options] = languages[language];
    const { status, stderr } = spawnSync(command, [...options, ...strict, '-fsyntax-only', file], {
      cwd: this.folder,
      encoding: 'utf8',
    });
    return status === 0 ? '' : stderr || `status ${status}`;
  }

  /** Compiles a file as C99, watched for what the language leaves undefined, runs it and gives what it writes. */
  run(file: string): Buffer {
    const [command, ...options] = languages.c99;
    const out = file.replace(/\.c$/, '');
    const built = spawnSync(
      command,
      [...options, ...strict, '-O1', '-fsanitize=undefined', '-fno-sanitize-recover', file, '-o', out],
      { cwd: this.folder, encoding: 'utf8' },
    );
    if (built.status !== 0) throw new Error(built.stderr);
    const ran = spawnSync(join(this.folder, out), { maxBuffer: 1 << 26 });
    if (ran.status !== 0) throw new Error(`status ${ran.status}: ${ran.stderr.toString()}`);
    return ran.stdout;
  }
}

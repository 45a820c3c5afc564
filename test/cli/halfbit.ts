import { spawnSync } from 'node:child_process';

/** Runs the program as from a shell. */
export function halfbit(
  args: readonly string[],
  input?: string,
): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'src/cli/main.ts', ...args],
    { encoding: 'utf8', maxBuffer: 1 << 28, input: input ?? '' },
  );
  return { code: status, out: stdout, err: stderr };
}

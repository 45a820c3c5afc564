/** Speeds of the commands, whole process. */
import { spawnSync } from 'node:child_process';
import type { Speed } from './run.ts';
import { against, seconds, shown } from './timing.ts';

const node = (...args: string[]): number =>
  seconds(() => spawnSync(process.execPath, args, { stdio: 'ignore' }), { repeats: 7, warm: 1 });

export async function commandSpeeds(): Promise<Speed[]> {
  const bare = node('-e', '0');
  const check = node('--import', 'tsx', 'src/cli/main.ts', 'check');
  return [
    {
      work: 'command check from a checkout',
      measured: shown(check),
      aim: '',
      ...against(check, bare, 'node -e 0'),
    },
  ];
}

/** Speeds of the commands, whole process. */
import { spawnSync } from 'node:child_process';
import type { Speed } from './run.ts';
import { against, seconds, shown } from './timing.ts';

const node = (...args: string[]): number =>
  seconds(() => spawnSync(process.execPath, args, { stdio: 'ignore' }), { repeats: 7, warm: 1 });

export async function commandSpeeds(): Promise<Speed[]> {
  const bare = node('-e', '0');
  // As an installed package has it.
  spawnSync(process.execPath, ['--import', 'tsx', 'src/cli/pack.ts'], { stdio: 'inherit' });
  const convert = node('dist/cli/main.js', 'convert', '2048');
  const check = node('--import', 'tsx', 'src/cli/main.ts', 'check');
  return [
    {
      work: 'command convert, packed, beyond bare node',
      measured: shown(convert - bare),
      aim: '90 ms',
      ...against(convert, bare, 'node -e 0'),
    },
    {
      work: 'command check from a checkout',
      measured: shown(check),
      aim: '',
      ...against(check, bare, 'node -e 0'),
    },
  ];
}

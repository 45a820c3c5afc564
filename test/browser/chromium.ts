/** Finding a Chromium or Chrome to drive; on Debian as root, installing Debian's. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const places: readonly string[] = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** The path of a browser to drive, or undefined where there is none. */
export const browserPath = (): string | undefined =>
  [process.env.CHROME_BIN, ...places].find((path) => path !== undefined && existsSync(path));

/** Sees that there is a browser, by installing Debian's where that can be done. Returns its path, or undefined. */
export function ensureBrowser(): string | undefined {
  const found = browserPath();
  if (found || process.platform !== 'linux' || process.getuid?.() !== 0 || !existsSync('/usr/bin/apt-get'))
    return found;
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const run = (...args: string[]): void => {
    spawnSync('apt-get', args, { env, stdio: ['ignore', 'ignore', 'inherit'] });
  };
  run('update', '-qq');
  run('install', '-y', '-qq', '--no-install-recommends', 'chromium', 'fonts-dejavu-core');
  return browserPath();
}

/** A browser without a window and without a word to anyone. */
export function launch(): Promise<Browser> {
  const path = browserPath();
  if (!path) throw new Error('no Chromium or Chrome found');
  return chromium.launch({
    executablePath: path,
    args: [
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

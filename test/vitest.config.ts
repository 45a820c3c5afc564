import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: ['test/**/*.test.{ts,tsx}'],
    globals: false,
    isolate: false,
    pool: 'threads',
    testTimeout: 60000,
    hookTimeout: 120000,
  },
});

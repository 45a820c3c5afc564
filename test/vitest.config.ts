import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

// The prebuilt file of mathjs loads six times faster than its thousand modules; the code is the same.
const mathjs = fileURLToPath(new URL('../node_modules/mathjs/lib/browser/math.js', import.meta.url));

export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  resolve: { alias: [{ find: /^mathjs$/, replacement: mathjs }] },
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: ['test/**/*.test.{ts,tsx}'],
    globals: false,
    isolate: false,
    pool: 'threads',
    testTimeout: 60000,
  },
});

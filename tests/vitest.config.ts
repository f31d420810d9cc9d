import { defineConfig } from 'vitest/config';

// forks: native addons (serialport, node-pty) crash in worker threads
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    pool: 'forks',
    maxWorkers: 2,
    testTimeout: 30_000,
    hookTimeout: 30_000,
    reporters: ['default', './tests/closing-line.ts'],
  },
});

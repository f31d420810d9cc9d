import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { defineConfig } from 'vitest/config';

// forks: native addons (serialport, node-pty) crash in worker threads
export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    include: ['tests/**/*.test.ts'],
    pool: 'forks',
    // programs under test sign with a key of their own, not with the one of whoever runs the tests
    env: { OHMWRIGHT_KEY: join(tmpdir(), `ohmwright-tests-${process.getuid?.() ?? 0}`, 'bench-key.pem') },
    maxWorkers: 2,
    testTimeout: 30_000,
    hookTimeout: 30_000,
    reporters: ['default', './tests/closing-line.ts'],
  },
});

import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Files that run longest, in order: begun first, so that no core waits for the last one. */
const longest = [
  'screen-soak',
  'process-faults',
  'faults/wire.test',
  'kinds-job',
  'e2e/job.test',
  'repair-job',
  'commands/calibrate',
  'population',
  'screen-job',
  'screen-terminals',
  'commands/commands',
  'screen-leave',
  'record-kill',
  'port-faults',
  'calibration-session',
];

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId, project }: TestSpecification): number => {
      const at = longest.findIndex((name) => moduleId.includes(`/${name}`));
      if (at >= 0) return at;
      return longest.length + (project.name === 'fast' ? 1 : 0);
    };
    return (await super.sort(files)).sort((a, b) => rank(a) - rank(b));
  }
}

const testsFolder = join(tmpdir(), `ohmwright-tests-${process.getuid?.() ?? 0}`);

const shared = {
  root: new URL('..', import.meta.url).pathname,
  // forks: native addons (serialport, node-pty) crash in worker threads
  pool: 'forks',
  // programs under test have a key and settings of their own, not those of whoever runs the tests
  env: {
    OHMWRIGHT_KEY: join(testsFolder, 'bench-key.pem'),
    OHMWRIGHT_CONFIG: join(testsFolder, 'config.yaml'),
  },
  // Node.js loads the modules itself: the emulator takes 40 % less of a core without the runner's wrapped imports;
  // only the runner knows what a change touches
  experimental: { viteModuleRunner: process.env.OHMWRIGHT_WATCH !== undefined },
  setupFiles: './tests/support/each-file.ts',
  isolate: false,
  testTimeout: 30_000,
  hookTimeout: 30_000,
} as const;

const below = (folders: string[]) => folders.map((folder) => `tests/${folder}/**/*.test.ts`);
const fast = ['unit', 'outside', 'contract', 'bench', 'fuzz'];
const slow = ['e2e', 'faults', 'firmware', 'browser'];
// in CI a test of real time and real processes may run once more; closing-line.ts names each that did
const retry = process.env.CI === 'true' ? 1 : 0;

export default defineConfig({
  test: {
    root: shared.root,
    maxWorkers: 2,
    reporters: ['default', './tests/closing-line.ts'],
    sequence: { sequencer: LongestFirst },
    coverage: {
      include: ['src/**', 'sim/**'],
      reporter: ['text-summary', 'html'],
      reportsDirectory: 'node_modules/.coverage',
    },
    projects: [
      { test: { ...shared, name: 'fast', include: below(fast) } },
      { test: { ...shared, name: 'slow', include: below(slow), retry } },
    ],
  },
});

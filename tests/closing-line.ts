import type { Reporter, TestModule } from 'vitest/node';

/** Prints one plain line at the end of a run, 'N passed, N failed, N skipped', for scripts that read the log; before it each test that passed only when run again. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const count = { passed: 0, failed: errors.length, skipped: 0, pending: 0 };
    for (const module of modules) {
      if (module.errors().length > 0) count.failed += 1;
      for (const test of module.children.allTests()) {
        count[test.result().state] += 1;
        if (test.diagnostic()?.flaky)
          process.stdout.write(`passed only when run again: ${module.relativeModuleId} > ${test.fullName}\n`);
      }
    }
    process.stdout.write(`${count.passed} passed, ${count.failed + count.pending} failed, ${count.skipped} skipped\n`);
  }
}

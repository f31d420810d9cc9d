// Repeats the tests that need a program's timing while two more busy processes take the cores: RUNS (default 50).
import { spawn } from 'node:child_process';
import { once } from 'node:events';

const runs = process.argv[2] ?? '50';
const busy = [0, 1].map(() => spawn(process.execPath, ['-e', 'for (;;);'], { stdio: 'ignore' }));
const tests = ['run', '--config', 'tests/vitest.config.ts', 'tests/e2e/job.test.ts', '-t', 'goes on after'];
const vitest = spawn('vitest', tests, { stdio: 'inherit', env: { ...process.env, OHMWRIGHT_REPEATS: runs } });
const [code] = (await once(vitest, 'exit')) as [number | null];
for (const child of busy) child.kill();
process.exitCode = code ?? 1;

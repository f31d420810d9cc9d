// The built program in a terminal, which reports what a span of it cost and leaves. Started by screen-cpu.ts:
// MODE GUIDE PORT FOLDER REPORT WARM-UP-MS MEASURED-MS.
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** What a span of a job cost. */
export interface ScreenCpu {
  readonly cpuUs: number;
  readonly wallUs: number;
  readonly captures: number;
  /** Written to the terminal. */
  readonly bytes: number;
}

const [mode = '', guide = '', port = '', folder = '', report = '', warmUpMs, measuredMs] = process.argv.slice(2);
const jobs = join(folder, mode);
const program = (await import(new URL('../../dist/src/cli/program/program.js', import.meta.url).href)) as {
  runCli(argv: string[]): Promise<number>;
};

function captures(): number {
  if (!existsSync(jobs)) return 0;
  const [file] = readdirSync(jobs).filter((one) => one.endsWith('.owjob'));
  return file === undefined ? 0 : readFileSync(join(jobs, file), 'utf8').split('"kind":"capture"').length - 1;
}

function measure(): void {
  const before = process.cpuUsage();
  const startMs = performance.now();
  const capturedBefore = captures();
  setTimeout(() => {
    const { user, system } = process.cpuUsage(before);
    const cost = { cpuUs: user + system, wallUs: (performance.now() - startMs) * 1000, bytes: 0 };
    writeFileSync(report, JSON.stringify({ ...cost, captures: captures() - capturedBefore }));
    process.kill(process.pid, 'SIGTERM');
  }, Number(measuredMs));
}

// the probe is proven first, which takes as long as it takes
const waiting = setInterval(() => {
  // a job that never comes to it is measured all the same, and fails for want of captures
  if (captures() === 0 && performance.now() < 60_000) return;
  clearInterval(waiting);
  setTimeout(measure, Number(warmUpMs));
}, 200);

const intake = ['--revision', 'A', '--ticket', 'T', '--symptom', 'none', '--serial', '1', '--accept-cautions', 'all'];
// in the guide's order: by information, one good reading would end the job
const args = ['start', guide, '--order', 'guide', '--port', port, '--jobs', jobs, ...intake];
process.exitCode = await program.runCli(mode === 'plain' ? [...args, '--plain'] : args);

// Interrupts at random moments, from the start of the program on, at each command that waits for a person.
// The moment is what is random; nothing here waits for something to have happened by then.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { randomOf } from '../../sim/random.ts';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import { calibrationEnding } from '../../src/record/store/calibration-file.ts';
import { verifyWhole } from '../../src/verify/conclusions/verify-conclusions.ts';
import { scratch } from '../support/scratch.ts';
import { wholeIntake } from './screen-bench.ts';
import { SeenTerminal } from './screen-terminal.ts';

/** `OHMWRIGHT_INTERRUPTS=60` and more is the whole of it; `OHMWRIGHT_SEED` draws other moments. */
const trials = Number(process.env.OHMWRIGHT_INTERRUPTS ?? 8);
const seed = Number(process.env.OHMWRIGHT_SEED ?? 1);
/** Longest time from the start to the interrupt: on two busy cores, the work has begun by then. */
const latestMs = 3000;

const guide = new URL('../../examples/field-recorder.yaml', import.meta.url).pathname;

/** A command that waits for a person, and whether what it left in its folder shows that its work was over. */
interface Command {
  name: string;
  args(folder: string): string[];
  isOver(folder: string): boolean;
}

const isJobOver = (folder: string): boolean =>
  recordsIn(folder).some((bytes) => parseRecord(bytes).lines.some(({ entry }) => entry.kind === 'closed'));
const never = (): boolean => false;
const emulated = ['--port', 'sim:', '--seed', '7'];

const commands: Command[] = [
  { name: 'demo', args: (folder) => ['demo', '--jobs', folder], isOver: isJobOver },
  { name: 'demo in lines', args: (folder) => ['demo', '--plain', '--jobs', folder], isOver: isJobOver },
  { name: 'intake', args: (folder) => ['start', guide, ...emulated, '--jobs', folder], isOver: never },
  {
    name: 'start',
    args: (folder) => ['start', guide, ...emulated, ...wholeIntake, '--customer', 'nobody', '--jobs', folder],
    isOver: isJobOver,
  },
  {
    name: 'run',
    args: (folder) => [
      'run',
      guide,
      ...emulated,
      '--revision',
      'B',
      '--accept-cautions',
      'all',
      '--repair',
      'ask',
      '--jobs',
      folder,
    ],
    isOver: isJobOver,
  },
  {
    name: 'calibrate',
    args: (folder) => ['calibrate', ...emulated, '--hands', '--calibrations', folder],
    isOver: (folder) => readdirSync(folder).some((file) => file.endsWith(calibrationEnding)),
  },
  {
    name: 'meter',
    args: () => ['meter', ...emulated, '--guide', guide, '--between', 'K1,K2'],
    isOver: never,
  },
  {
    name: 'meter in lines',
    args: () => ['meter', '--plain', ...emulated, '--guide', guide, '--between', 'K1,K2'],
    isOver: never,
  },
];

const interrupts: { name: string; give(seen: SeenTerminal, pid: number): void; code: number }[] = [
  { name: 'Ctrl-C', give: (seen) => seen.key('\u0003'), code: 130 },
  { name: 'SIGINT', give: (_seen, pid) => process.kill(pid, 'SIGINT'), code: 130 },
  { name: 'SIGTERM', give: (_seen, pid) => process.kill(pid, 'SIGTERM'), code: 143 },
  { name: 'SIGHUP', give: (_seen, pid) => process.kill(pid, 'SIGHUP'), code: 129 },
];

let seen: SeenTerminal | null = null;
afterEach(async () => {
  await seen?.close();
  seen = null;
});

const random = randomOf(seed, 'interrupts');
const moments = Array.from({ length: trials }, (_, trial) => {
  const command = commands[trial % commands.length]!;
  const interrupt = interrupts[random.integer(0, interrupts.length - 1)]!;
  return { command, interrupt, afterMs: random.integer(0, latestMs), name: `${command.name}, ${interrupt.name}` };
});

test.each(moments)('$name after $afterMs ms', { timeout: 60_000 }, async ({ command, interrupt, afterMs }) => {
  const folder = scratch();
  seen = SeenTerminal.trapping(command.args(folder), { rows: 40, cols: 100 });
  const pid = await seen.child();
  await new Promise((resolve) => setTimeout(resolve, afterMs));
  // stopped, so that what it had done by then can be looked at
  const isRunning = seen.halt(pid);
  const wasOver = command.isOver(folder);
  const saidBefore = seen.wholeText;
  expect(isRunning || wasOver, saidBefore).toBe(true);
  if (isRunning) {
    interrupt.give(seen, pid);
    process.kill(pid, 'SIGCONT');
  }
  await seen.ended;
  const left = Number(/left with (\d+)/.exec(seen.wholeText)?.[1]);
  // only work that was over before may end in its own way
  if (!wasOver) expect(left, `${saidBefore}\n---\n${seen.wholeText}`).toBe(interrupt.code);
  expect(seen.page).toBe('normal');
  expect(seen.isCursorShown).toBe(true);
  expect(seen.modes.bracketedPasteMode).toBe(false);
  expect(seen.isSane, seen.wholeText).toBe(true);
  const records = recordsIn(folder);
  expect(records.length).toBeLessThanOrEqual(1);
  for (const bytes of records) {
    const { damage, lines } = parseRecord(bytes);
    expect(damage).toEqual([]);
    expect(verifyWhole(bytes).departures).toEqual([]);
    const told = seen.wholeText.split('\n').filter((line) => line.startsWith('[+] pass')).length;
    expect(lines.filter(({ entry }) => 'outcome' in entry && entry.outcome === 'pass').length).toBeGreaterThanOrEqual(
      told,
    );
  }
});

function recordsIn(folder: string): Buffer[] {
  const files = readdirSync(folder).filter((name) => name.endsWith('.owjob'));
  return files.map((name) => readFileSync(join(folder, name)));
}

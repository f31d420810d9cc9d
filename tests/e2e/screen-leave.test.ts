// Every way out leaves the terminal as it was: the page before, the cursor, echo and line editing, and a summary.
import { afterEach, expect, test } from 'vitest';
import { proveProbe, ScreenBench, touchWhenAsked } from './screen-bench.ts';
import { SeenTerminal } from './screen-terminal.ts';

let bench: ScreenBench | null = null;
afterEach(async () => {
  await bench?.close();
  bench = null;
});

async function inTheMiddle(): Promise<SeenTerminal> {
  bench = await ScreenBench.open();
  const seen = bench.watch(SeenTerminal.shell(bench.startArgs(), { rows: 40, cols: 100 }));
  await proveProbe(bench, seen);
  await touchWhenAsked(bench, seen, 'round pad at the edge', ['P1', 'P2'], 'PASS');
  await seen.until((text) => text.includes('foot of the cell spring'), 'the second check');
  expect(seen.page).toBe('alternate');
  return seen;
}

const waysOut: [string, (seen: SeenTerminal) => void | Promise<void>, number][] = [
  ['q, then y', (seen) => seen.key('qy'), 3],
  ['Ctrl-C', (seen) => seen.key('\u0003'), 130],
  ['SIGINT', (seen) => seen.kill('SIGINT'), 130],
  ['SIGTERM', (seen) => seen.kill('SIGTERM'), 143],
  ['SIGHUP', (seen) => seen.kill('SIGHUP'), 129],
];

test.each(waysOut)('%s', async (_name, leave, code) => {
  const seen = await inTheMiddle();
  await leave(seen);
  await seen.ended;
  expect(seen.page).toBe('normal');
  expect(seen.isCursorShown).toBe(true);
  expect(seen.modes.bracketedPasteMode).toBe(false);
  expect(seen.isSane, seen.wholeText).toBe(true);
  expect(seen.wholeText).toMatch(new RegExp(`left with ${code}\\b`));
  expect(seen.wholeText).toMatch(/1 passed, 0 failed/);
  expect(seen.wholeText).toMatch(/ohmwright resume /);
  expect((await bench!.record()).state.closed).toBeNull();
});

test('a screen that breaks gives the terminal back, and the job is kept', async () => {
  const fixture = new URL('fixtures/broken-screen.ts', import.meta.url).pathname;
  const command = `'${process.execPath}' '${fixture}'; echo "left with $?"; stty -a`;
  const seen = new SeenTerminal('/bin/sh', ['-c', command], { rows: 40, cols: 100 });
  await seen.ended;
  expect(seen.page).toBe('normal');
  expect(seen.isCursorShown).toBe(true);
  expect(seen.isSane, seen.wholeText).toBe(true);
  expect(seen.written).toContain('\u001b[?1049h');
  expect(seen.wholeText).toMatch(/this frame is broken/);
  await seen.close();
});

test('two interrupts end a program that does not end by itself, and give the terminal back', async () => {
  const fixture = new URL('fixtures/stuck-screen.ts', import.meta.url).pathname;
  const command = `'${process.execPath}' '${fixture}'; echo "left with $?"; stty -a`;
  const seen = new SeenTerminal('/bin/sh', ['-c', command], { rows: 40, cols: 100 });
  await seen.until((text) => text.includes('stuck'), 'the screen');
  seen.key('\u0003');
  await seen.until((text) => text.includes('asked once'), 'the first interrupt');
  seen.key('\u0003');
  await seen.ended;
  expect(seen.page).toBe('normal');
  expect(seen.isCursorShown).toBe(true);
  expect(seen.isSane, seen.wholeText).toBe(true);
  await seen.close();
});

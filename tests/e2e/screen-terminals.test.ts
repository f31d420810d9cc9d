// Terminals of every kind, the intake, the meter, and pipes: the same program, told what its surroundings are.
import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, expect, test } from 'vitest';
import { lampGuide, proveProbe, ScreenBench } from './screen-bench.ts';
import { program, SeenTerminal } from './screen-terminal.ts';

let bench: ScreenBench | null = null;
afterEach(async () => {
  await bench?.close();
  bench = null;
});
// SGR parameters of ECMA-48 8.3.117: 30..37, 40..47, and 90..97, 100..107 of the aixterm colours set a colour
const setsColour = (written: string): boolean =>
  [...written.matchAll(/\[([0-9;]*)m/g)].some(([, list]) =>
    list!.split(';').some((p) => /^(3[0-8]|4[0-8]|9[0-7]|10[0-7])$/.test(p)),
  );

async function firstCheck(env: Record<string, string>): Promise<SeenTerminal> {
  bench = await ScreenBench.open();
  const seen = bench.start([], { env });
  await proveProbe(bench, seen);
  await seen.until((text) => text.includes('round pad at the edge'), 'the first check');
  return seen;
}

test('NO_COLOR: no colour is set, and the same words stand there', async () => {
  const seen = await firstCheck({ NO_COLOR: '1', COLORTERM: 'truecolor' });
  expect(setsColour(seen.written)).toBe(false);
  expect(seen.text).toMatch(/Track to the lamp/);
});

test('with colour, outcomes are coloured', async () => {
  const seen = await firstCheck({ COLORTERM: 'truecolor' });
  expect(setsColour(seen.written)).toBe(true);
});

test('a locale without Unicode gets ASCII only', async () => {
  bench = await ScreenBench.open();
  const seen = bench.start([], { env: { LANG: 'C', LC_ALL: 'C' } });
  await seen.until((text) => text.includes('Hold the two tips together'), 'the proof');
  await bench.move({ do: 'short' });
  await seen.until((text) => text.includes('Lift the tips'), 'the proof taken');
  expect([...seen.text].filter((char) => char > '~')).toEqual([]);
});

test.each([
  ['a dumb terminal', { TERM: 'dumb' }, []],
  ['--plain', {}, ['--plain']],
  ['CI', { CI: 'true' }, []],
])('%s gets plain lines: no cursor is moved', async (_name, env, options) => {
  bench = await ScreenBench.open();
  const seen = bench.start(options, { env });
  await seen.until((text) => text.includes('Hold the two tips together'), 'the proof in a line');
  expect(seen.written).not.toContain('\u001b[?1049h');
  seen.kill('SIGTERM');
  expect(await seen.ended).toMatchObject({ exitCode: 143 });
});

test('in a pipe a job is told in lines and ends with its code', async () => {
  const args = [
    'start',
    lampGuide,
    '--order',
    'guide',
    '--port',
    'sim:',
    '--revision',
    'A',
    '--accept-cautions',
    'all',
    '--fault',
    'track=open',
  ];
  bench = await ScreenBench.open();
  const run = promisify(execFile)(process.execPath, [program, ...args, '--jobs', bench.jobs]);
  const failed = await run.catch((error: { code: number; stderr: string }) => error);
  expect(failed).toMatchObject({ code: 1 });
  expect(failed.stderr).toMatch(/\[x\] fail/);
  expect(failed.stderr).not.toContain('\u001b');
});

test('the intake asks for what no option gave, refuses a revision with the reason, and keeps the override', async () => {
  bench = await ScreenBench.open();
  const seen = bench.watch(
    SeenTerminal.program([
      'start',
      lampGuide,
      '--order',
      'guide',
      '--repair',
      'none',
      '--port',
      bench.port,
      '--jobs',
      bench.jobs,
      '--serial',
      'QG-9',
      '--technician',
      'M. Bench',
    ]),
  );
  await seen.until((text) => text.includes('does NOT hold'), 'the revisions');
  expect(seen.text).toMatch(/Quillhaven Glimmer/);
  seen.key('\u001b[B');
  seen.key('\u001b[B');
  await seen.until((text) => text.includes('switches the lamp in the ground line'), 'the reason');
  seen.key('\r');
  await seen.until((text) => text.includes('Say why'), 'the override');
  seen.key('same board as A\r');
  await seen.until((text) => /> Ticket/.test(text), 'the ticket');
  seen.key('T-99\r');
  await seen.until((text) => /> Symptom/.test(text), 'the symptom');
  seen.key('flickers\r');
  await seen.until((text) => /> Customer/.test(text), 'the customer');
  seen.key('M. Example\r');
  await seen.until((text) => /> Contact/.test(text), 'the contact');
  seen.key('\r');
  await seen.until((text) => text.includes('type cell and Enter'), 'the first caution, by its name');
  seen.key('yes\r');
  seen.key('cell\r');
  await seen.until((text) => text.includes('type live and Enter'), 'the second caution');
  const { state, entries } = await bench.record();
  expect(Object.keys(state.customer?.commitments ?? {})).toEqual(['name']);
  expect(state.opened).toMatchObject({
    ticket: 'T-99',
    symptom: 'flickers',
    device: { revision: 'C', serial: 'QG-9' },
    revision: { holds: false, override: 'same board as A' },
  });
  expect(entries.find((e) => e.kind === 'caution')).toMatchObject({ id: 'cell', by: 'person' });
});

test('Ctrl-C in the intake leaves nothing behind', async () => {
  bench = await ScreenBench.open();
  const seen = bench.watch(
    SeenTerminal.program([
      'start',
      lampGuide,
      '--order',
      'guide',
      '--repair',
      'none',
      '--port',
      bench.port,
      '--jobs',
      bench.jobs,
    ]),
  );
  await seen.until((text) => text.includes('does NOT hold'), 'the revisions');
  seen.key('\u0003');
  expect(await seen.ended).toMatchObject({ exitCode: 130 });
  expect(seen.page).toBe('normal');
  expect(() => readdirSync(bench!.jobs)).toThrow(/ENOENT/);
});

test('the meter shows the reading, holds it, counts touches, comes back after unplugging, and exports what it saw', async () => {
  bench = await ScreenBench.open();
  const seen = bench.watch(SeenTerminal.program(['meter', '--port', bench.port], { cwd: bench.folder }));
  await seen.until((text) => text.includes('tips in the air'), 'the meter');
  await bench.move({ do: 'touch', pads: ['P1', 'P2'] });
  await seen.until((text) => /touches\s+1\b/.test(text) && text.includes('both tips on'), 'the touch');
  seen.key('h');
  await seen.until((text) => /held/i.test(text), 'the held reading');
  seen.key('h');
  bench.served.unplug();
  await seen.until((text) => text.includes('NO PROBE'), 'the lost probe');
  bench.served.plugIn();
  await seen.until((text) => !text.includes('NO PROBE'), 'the probe again');
  seen.key('e');
  await seen.until((text) => /\d+ lines are in/.test(text), 'the export');
  seen.key('q');
  expect(await seen.ended).toMatchObject({ exitCode: 0 });
  expect(seen.page).toBe('normal');
  const [file] = readdirSync(bench.folder).filter((name) => name.endsWith('.csv'));
  const [heading, ...lines] = readFileSync(join(bench.folder, file!), 'utf8').trim().split('\n');
  expect(heading).toMatch(/^t_s,quantity,value,u,unit,/);
  const touched = lines
    .map((line) => line.split(','))
    .filter((f) => f[6] === 'true' && f[7] === 'true' && f[5] === 'in-range');
  expect(touched.length).toBeGreaterThan(0);
  expect(touched.some((fields) => Number(fields[2]) > 0.2 && Number(fields[2]) < 0.45)).toBe(true);
});

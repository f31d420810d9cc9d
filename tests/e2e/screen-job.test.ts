// Whole jobs as a person sees them at 80x24: the built program in a terminal, the emulated probe on a port, hands that follow the screen.
import { afterEach, describe, expect, test } from 'vitest';
import { verifyRecord } from '../../src/verify/verify.ts';
import { reads } from './large-words.ts';
import { proveProbe, ScreenBench, touchWhenAsked } from './screen-bench.ts';
import type { SeenTerminal } from './screen-terminal.ts';

let bench: ScreenBench | null = null;
afterEach(async () => {
  await bench?.close();
  bench = null;
});
const atTrack = 'round pad at the edge';
const atSpring = 'foot of the cell spring';

async function answerLamp(seen: SeenTerminal, key: 'y' | 'n' | 'u'): Promise<void> {
  await seen.until((text) => text.includes('Is the lamp clear'), 'the question about the lamp');
  seen.key(key);
}

async function finish(bench: ScreenBench, seen: SeenTerminal): Promise<void> {
  await seen.until(
    (text) => text.includes('Supply at the spring') && text.includes('Touch the two pads'),
    'the supply',
  );
  await bench.move({ do: 'power', power: 'on' });
  await touchWhenAsked(bench, seen, atSpring, ['P3', 'P4'], 'PASS');
  await bench.move({ do: 'power', power: 'off' });
  await proveProbe(bench, seen);
}

test('a job on a healthy device passes, with one key pressed: the answer to what eyes alone can see', async () => {
  bench = await ScreenBench.open();
  const seen = bench.start();
  await proveProbe(bench, seen);
  const shown = await touchWhenAsked(bench, seen, atTrack, ['P1', 'P2'], 'PASS');
  expect(shown).toMatch(/Quillhaven Glimmer/);
  expect(shown).toMatch(/T-17/);
  expect(shown).toMatch(/ohm/);
  await touchWhenAsked(bench, seen, atSpring, ['P3', 'P4'], 'PASS');
  await answerLamp(seen, 'y');
  await finish(bench, seen);
  expect(await seen.ended).toMatchObject({ exitCode: 0 });
  expect(seen.page).toBe('normal');
  expect(seen.wholeText).toMatch(/result: passed/);
  const { state, bytes } = await bench.record();
  expect(state).toMatchObject({ result: 'passed', counts: { passed: 4 }, opened: { ticket: 'T-17', symptom: 'dark' } });
  expect(verifyRecord(bytes).ok).toBe(true);
});

test('a job on a device with a fault shows it, says so afterwards, and ends with 1', async () => {
  bench = await ScreenBench.open(['track=open']);
  const seen = bench.start();
  await proveProbe(bench, seen);
  expect(await touchWhenAsked(bench, seen, atTrack, ['P1', 'P2'], 'FAIL')).toMatch(/wanted at most 2 ohm/);
  await touchWhenAsked(bench, seen, atSpring, ['P3', 'P4'], 'PASS');
  await answerLamp(seen, 'y');
  await finish(bench, seen);
  expect(await seen.ended).toMatchObject({ exitCode: 1 });
  expect(seen.wholeText).toMatch(/failed: Track to the lamp/);
  expect((await bench.record()).state.checks.track).toMatchObject({ outcome: 'fail' });
});

test('a voltage on the tips is said at once, with what to do; the check is asked for again when it is gone', async () => {
  bench = await ScreenBench.open();
  const seen = bench.start();
  await proveProbe(bench, seen);
  await touchWhenAsked(bench, seen, atTrack, ['P1', 'P2'], 'PASS');
  await seen.until((text) => text.includes(atSpring), 'the pads at the spring');
  await bench.move({ do: 'power', power: 'on' }, { do: 'touch', pads: ['P3', 'P4'] });
  const live = await seen.until((text) => reads(text, 'LIVE') && text, 'the voltage');
  expect(live).toMatch(/Lift/);
  expect(live).toMatch(/disconnect its battery/);
  await bench.move({ do: 'power', power: 'off' }, { do: 'lift' });
  await seen.until((text) => !reads(text, 'LIVE') && text.includes('Touch the two pads'), 'the check again');
  await touchWhenAsked(bench, seen, atSpring, ['P3', 'P4'], 'PASS');
  const { entries, state } = await bench.record();
  expect(entries.some((e) => e.kind === 'live' && e.check === 'load')).toBe(true);
  expect(state.checks.load).toMatchObject({ outcome: 'pass' });
});

test('a cable that is pulled: the screen says so, the job is kept, and the check in hand is asked for again', async () => {
  bench = await ScreenBench.open();
  const seen = bench.start();
  await proveProbe(bench, seen);
  await seen.until((text) => text.includes(atTrack), 'the first check');
  bench.served.unplug();
  await seen.until((text) => reads(text, 'NO PROBE'), 'the lost probe');
  expect(seen.page).toBe('alternate');
  bench.served.plugIn();
  await seen.until((text) => !reads(text, 'NO PROBE') && text.includes('Touch the two pads'), 'the check again');
  await touchWhenAsked(bench, seen, atTrack, ['P1', 'P2'], 'PASS');
  const { entries, state } = await bench.record();
  expect(entries.filter((e) => e.kind === 'gap').length).toBeGreaterThan(0);
  expect(entries.filter((e) => e.kind === 'probe')).toHaveLength(2);
  expect(state.checks.track).toMatchObject({ outcome: 'pass' });
});

describe('resizing', () => {
  test('every size is filled without a broken line, too small a one says so, and measuring goes on below it', async () => {
    bench = await ScreenBench.open();
    const seen = bench.start();
    await proveProbe(bench, seen);
    await seen.until((text) => text.includes(atTrack), 'the first check');
    for (const [cols, rows] of [
      [120, 40],
      [100, 30],
      [60, 16],
      [80, 24],
    ] as const) {
      seen.resize(cols, rows);
      // the frame of the old size stands until the program has drawn the new one: its title on top, its keys at the bottom
      const isFilled = () =>
        Boolean(seen.lines[0]?.includes('Glimmer') && seen.lines.slice(-2).some((line) => line.includes('leave')));
      await seen.until(
        (text) => text.includes('Touch the two pads') && isFilled(),
        `the check, filled from top to bottom, at ${cols}x${rows}`,
      );
    }
    seen.resize(40, 10);
    await seen.until(
      (text) => /60.?x.?16/.test(text) && !text.includes(atTrack),
      'the line of a screen that is too small',
    );
    await bench.move({ do: 'touch', pads: ['P1', 'P2'] });
    await bench.move({ do: 'wait', us: 400_000 }, { do: 'lift' });
    seen.resize(80, 24);
    await seen.until((text) => text.includes(atSpring), 'the next check');
    expect((await bench.record()).state.checks.track).toMatchObject({ outcome: 'pass' });
  });
});

test('killed in the middle of a job, the program goes on where the record stands', async () => {
  bench = await ScreenBench.open();
  const seen = bench.start();
  await proveProbe(bench, seen);
  await touchWhenAsked(bench, seen, atTrack, ['P1', 'P2'], 'PASS');
  await seen.until((text) => text.includes(atSpring), 'the next check');
  seen.kill('SIGKILL');
  await seen.ended;
  const { path } = await bench.record();
  const again = bench.resume(path);
  // the proof and the first check stand in the record, so the second is asked for at once
  await touchWhenAsked(bench, again, atSpring, ['P3', 'P4'], 'PASS');
  await answerLamp(again, 'n');
  await finish(bench, again);
  expect(await again.ended).toMatchObject({ exitCode: 1 });
  const { state, bytes } = await bench.record();
  expect(state.counts).toMatchObject({ passed: 3, failed: 1 });
  expect(verifyRecord(bytes).ok).toBe(true);
});

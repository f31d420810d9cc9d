import { expect, test } from 'vitest';
import { PlainReporter } from '../../../src/faces/lines/plain-reporter.ts';
import type { JobSessionState } from '../../../src/session/job/job-session-state.ts';
import { tellsMore, toldView } from '../../../src/view/job/told.ts';
import { captured, connected, DryBench, lift, make } from '../../support/dry-bench.ts';

test('a link is said to be looked for again only after it was lost', () => {
  const lines: string[] = [];
  const links = () => lines.filter((line) => line.startsWith('link:'));
  const bench = new DryBench();
  const reporter = new PlainReporter((line) => lines.push(line));
  const clock = { type: 'clock', tUs: 1 } as const;
  reporter.view(toldView(bench.give(clock).state));
  expect(links()).toEqual([]);
  reporter.view(toldView(bench.give(connected).state));
  expect(links()).toHaveLength(1);
  const gone = { type: 'disconnected', why: 'unplugged' } as const;
  reporter.view(toldView(bench.give(gone).state));
  expect(links().at(-1)).toMatch(/unplugged.*looking for the probe again/);
});

test('what was asked before the tips had to be taken off something is not told in full again', () => {
  const lines: string[] = [];
  const reporter = new PlainReporter((line) => lines.push(line));
  const bench = new DryBench(undefined, [], { onState: (state) => reporter.view(toldView(state)) });
  bench.give(connected).answer('yes').answer('yes');
  const order = lines.at(-1)!;
  bench.give({ type: 'standing' }).happen(make, lift);
  const told = lines.slice(lines.indexOf(order));
  expect(told).toHaveLength(3);
  expect(told.filter((line) => line === order)).toHaveLength(1);
  expect(told[1]).toMatch(/^> /);
  expect(told[2]).toMatch(/^ {2}\S/);
});

test('each entry is told once, however many of them the view holds', () => {
  const lines: string[] = [];
  const reporter = new PlainReporter((line) => lines.push(line));
  const bench = new DryBench(undefined, [], { onState: (state) => reporter.view(toldView(state)) });
  bench.opened().touch(0.2);
  reporter.view(toldView(bench.state));
  const stored = bench.entries.filter(({ kind }) => kind === 'capture' || kind === 'proof');
  expect(stored.length).toBeGreaterThan(2);
  expect(lines.filter((line) => line.startsWith('['))).toHaveLength(stored.length);
});

test('nothing is lost when only states that may tell more are looked at', () => {
  const all: string[] = [];
  const some: string[] = [];
  const [every, chosen] = [all, some].map((lines) => new PlainReporter((line) => lines.push(line)));
  let before: JobSessionState | null = null;
  const bench = new DryBench(undefined, [], {
    onState(state) {
      every!.view(toldView(state));
      if (before === null || tellsMore(before, state)) chosen!.view(toldView(state));
      before = state;
    },
  });
  bench.opened().touch(5).give({ type: 'clock', tUs: 5 }).answer('no').touch(1.8).happen(make, captured(100));
  bench.give({ type: 'disconnected', why: 'unplugged' }, connected).touch(0.002);
  expect(all.length).toBeGreaterThan(20);
  expect(some).toEqual(all);
});

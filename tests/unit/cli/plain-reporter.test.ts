import { expect, test } from 'vitest';
import { PlainReporter } from '../../../src/faces/lines/plain-reporter.ts';
import { connected, DryBench } from '../../support/dry-bench.ts';

test('a link is said to be looked for again only after it was lost', () => {
  const lines: string[] = [];
  const bench = new DryBench();
  const reporter = new PlainReporter(bench.state.guide, (line) => lines.push(line));
  const clock = { type: 'clock', tUs: 1 } as const;
  reporter.state(bench.give(clock).state, clock);
  expect(lines).toEqual([]);
  reporter.state(bench.give(connected).state, connected);
  expect(lines).toHaveLength(1);
  const gone = { type: 'disconnected', why: 'unplugged' } as const;
  reporter.state(bench.give(gone).state, gone);
  expect(lines.at(-1)).toMatch(/unplugged.*looking for the probe again/);
});

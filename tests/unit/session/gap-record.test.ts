import { expect, test } from 'vitest';
import type { GapItem } from '../../../src/link/probe/link-item.ts';
import { connected, DryBench } from '../../support/dry-bench.ts';

const gap = (tUs: number, missing: number | null = 3): { type: 'gap'; gap: GapItem } => ({
  type: 'gap',
  gap: { kind: 'gap', cause: 'lost-readings', missing, fromUs: tUs - 1000, toUs: tUs, text: 'some are missing' },
});
const gapsOf = (bench: DryBench) => bench.entries.flatMap((entry) => (entry.kind === 'gap' ? [entry] : []));

test('a gap is on record at once; those soon after it come as one', () => {
  const bench = new DryBench().give(connected).give({ type: 'clock', tUs: 1_000_000 });
  bench.give(gap(1_000_000));
  expect(gapsOf(bench)).toHaveLength(1);
  for (let i = 1; i <= 500; i++) bench.give(gap(1_000_000 + i * 1000));
  expect(gapsOf(bench)).toHaveLength(1);
  bench.give({ type: 'clock', tUs: 7_000_000 });
  expect(gapsOf(bench)[1]).toMatchObject({ missing: 1500, fromUs: 1_000_000, toUs: 1_500_000 });
  expect(gapsOf(bench)).toHaveLength(2);
});

test('what waits is on record before the next evidence, and before the end', () => {
  const bench = new DryBench().opened();
  for (let i = 0; i < 3; i++) bench.give(gap(2_000_000 + i));
  bench.touch(0.2);
  const kinds = bench.kinds();
  expect(kinds.lastIndexOf('gap')).toBeLessThan(kinds.lastIndexOf('capture'));
  expect(gapsOf(bench)).toHaveLength(2);
  bench.give(gap(3_000_000)).give({ type: 'quit' });
  expect(gapsOf(bench)).toHaveLength(3);
});

test('a frozen clock: however many gaps come, one entry tells of them all at the end', () => {
  const bench = new DryBench().give(connected);
  for (let i = 0; i < 10_000; i++) bench.give(gap(0)).give({ type: 'clock', tUs: 0 });
  bench.give({ type: 'quit' });
  expect(gapsOf(bench).map(({ missing }) => missing)).toEqual([3, 29_997]);
});

test('one gap of unknown size makes the sum unknown', () => {
  const bench = new DryBench().give(connected).give(gap(1)).give(gap(2)).give(gap(3, null)).give({ type: 'quit' });
  expect(gapsOf(bench).map(({ missing }) => missing)).toEqual([3, null]);
});

// The benchmarks' own form and arithmetic; what they measure is for `npm run bench`, never for a test.
import { readdirSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { expect, test } from 'vitest';
import { benchmarks } from './all.ts';
import { isMet, median, quantile, workMissing } from './benchmark.ts';
import { linkOf, padOf, resistorBoard } from './resistor-board.ts';

test.each(benchmarks)('$name says what it measures', ({ name, claim, measure }) => {
  expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/);
  expect(claim.length).toBeGreaterThan(30);
  expect(claim).toMatch(/ against | less that | whose /);
  expect(measure).toBeTypeOf('function');
});

test('every file with a benchmark is in the list, under its own name', () => {
  const folder = new URL('./', import.meta.url);
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts') && !file.endsWith('.test.ts'))
    .filter((file) => readFileSync(new URL(file, folder), 'utf8').includes('export async function measure'))
    .map((file) => basename(file));
  expect(benchmarks.map(({ name }) => `${name}.ts`).sort()).toEqual(files.sort());
});

test('a target is met at the target itself, and never by what is no number', () => {
  const figure = { what: 'x', target: 2 } as const;
  expect(isMet({ ...figure, sense: 'at most', value: 2 })).toBe(true);
  expect(isMet({ ...figure, sense: 'at most', value: 2.01 })).toBe(false);
  expect(isMet({ ...figure, sense: 'at least', value: 2 })).toBe(true);
  expect(isMet({ ...figure, sense: 'at least', value: 1.99 })).toBe(false);
  expect(isMet({ ...figure, sense: 'at most', value: Number.NaN })).toBe(false);
  expect(isMet({ ...figure, sense: 'at least', value: Number.NaN })).toBe(false);
});

test('a benchmark whose work did not happen is told, each count of it', () => {
  const measured = { figures: [], numbers: {} };
  expect(workMissing({ ...measured, work: { touches: 3, captures: 1 } })).toEqual([]);
  expect(workMissing({ ...measured, work: { touches: 3, captures: 0 } })).toEqual(['captures']);
  expect(workMissing({ ...measured, work: { touches: Number.NaN, captures: -1 } })).toEqual(['touches', 'captures']);
  expect(workMissing({ ...measured, work: {} })).toEqual(['work']);
});

test('medians and quantiles lie between neighbours, whatever the order', () => {
  expect(median([5, 1, 3])).toBe(3);
  expect(median([4, 1, 3, 2])).toBe(2.5);
  expect(quantile([10, 0], 0.9)).toBeCloseTo(9, 12);
  expect(median([])).toBeNaN();
});

test('the row of resistors is a sound guide with the values asked for', () => {
  const guide = resistorBoard([0.03, 4.7e6]);
  expect(guide.links.map(({ id, ohm }) => [id, ohm])).toEqual([
    [linkOf(0), 0.03],
    [linkOf(1), 4.7e6],
  ]);
  expect(guide.pads.map(({ id }) => id)).toContain(padOf(1));
});

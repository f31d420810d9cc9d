// Each class of forgery, each on every kept record. `count.ts` beside this tries all that there are.
import { readdirSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { verifyWhole } from '../../../../src/verify/conclusions/verify-conclusions.ts';
import { forgery, keptRecord } from '../forged.ts';
import { classes } from './classes.ts';

const kept = readdirSync(new URL('../../../fixtures/records/', import.meta.url))
  .map((name) => name.replace('.owjob', ''))
  .map((name) => ({ name, bytes: keptRecord(name) }));
/** Forgeries of a class that are tried here, evenly drawn from all. */
const some = 4;

test.each(kept)('$name holds when its chain is made anew without a change', ({ bytes }) => {
  expect(verifyWhole(forgery(bytes, () => undefined)).verdict).toBe('holds');
});

describe.each(Object.entries(classes))('%s', { timeout: 60_000 }, (_name, forge) => {
  test('never holds', () => {
    const all = kept.flatMap(forge);
    expect(all.length).toBeGreaterThan(3);
    const every = Math.max(1, Math.floor(all.length / some));
    const tried = all.filter((_, at) => at % every === 0);
    const missed = tried.filter(({ bytes, holds }) => verifyWhole(bytes, holds).verdict === 'holds');
    expect(missed.map(({ record, what }) => `${record}: ${what}`)).toEqual([]);
  });
});

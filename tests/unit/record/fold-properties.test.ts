import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { openLine, sealEntry } from '../../../src/record/chain/chain.ts';
import { type Entry, entrySchema, type NewEntry } from '../../../src/record/entries/entries.ts';
import { emptyJob, foldEntry, foldJob, type JobState } from '../../../src/record/state/fold.ts';
import { runs } from '../../support/runs.ts';
import { chainOf, wholeJob } from '../../support/sample-job.ts';
import { anyEntry } from './arbitrary-entry.ts';

const sequence = fc.array(anyEntry, { maxLength: 40 });

/** A whole job that passes, with some entries taken out and strange ones put in between: near enough to a pass to be one at times. */
const wholeEntries = chainOf(wholeJob()).entries;
const disturbedJob = fc
  .tuple(
    fc.array(fc.nat({ max: wholeEntries.length - 1 }), { maxLength: 3 }),
    fc.array(fc.tuple(fc.nat({ max: wholeEntries.length }), anyEntry), { maxLength: 3 }),
  )
  .map(([out, into]) =>
    wholeEntries.flatMap((entry, i) => [
      ...into.filter(([at]) => at === i).map(([, strange]) => strange),
      ...(out.includes(i) ? [] : [entry]),
    ]),
  );

describe('over any sequence of valid entries', () => {
  test('draws entries that are valid indeed', () => {
    fc.assert(fc.property(anyEntry, (entry) => entrySchema.safeParse(entry).error === undefined));
  });

  test('the fold never throws, and folding on is folding the whole', () => {
    fc.assert(
      fc.property(sequence, fc.nat(), (entries, cut) => {
        const at = cut % (entries.length + 1);
        let state = foldJob(entries.slice(0, at));
        for (const entry of entries.slice(at)) state = foldEntry(state, entry);
        expect(state).toEqual(foldJob(entries));
        expect(state.entries).toBe(entries.length);
      }),
    );
  });

  test('a pass is never made of anything else: every check passed last, and the proofs held', () => {
    let passed = 0;
    fc.assert(
      fc.property(fc.oneof(disturbedJob, sequence), (entries) => {
        const state = foldJob(entries);
        if (state.result !== 'passed') return;
        passed += 1;
        for (const id of listedIn(entries)) expect(lastWordOn(id, entries)).toBe('pass');
        expect(state.counts.passed).toBe(state.counts.checks);
        expect(state.counts.checks).toBeGreaterThan(0);
        expect(state.proofs.standing).toBe('held');
        expect(state.doubtful).toBe(false);
      }),
      { numRuns: runs(1_000) },
    );
    // the property must have been met with something to say
    expect(passed).toBeGreaterThan(0);
  });

  test('an undecided entry never brings a pass that was not there', () => {
    fc.assert(
      fc.property(fc.oneof(disturbedJob, sequence), anyEntry, (entries, entry) => {
        const undecided = 'outcome' in entry && entry.outcome !== 'pass' && entry.outcome !== 'fail';
        if (!undecided && entry.kind !== 'skipped' && entry.kind !== 'repeat') return;
        const before = foldJob(entries);
        const after = foldEntry(before, entry);
        if (before.result !== 'passed') expect(after.result).not.toBe('passed');
        expect(after.counts.passed).toBeLessThanOrEqual(before.counts.passed);
      }),
      { numRuns: runs(500) },
    );
  });

  test('repaired is never made of anything else: some repair, the last word on every check since then a pass or nothing', () => {
    let repaired = 0;
    const job: NewEntry[] = wholeJob(47).filter(({ kind }) => kind !== 'closed');
    const at = job.findIndex((entry) => entry.kind === 'proof' && entry.when === 'closing');
    const mended = chainOf([
      ...job.slice(0, at),
      { kind: 'repair', what: 'repair', repair: 'clean', unit: null, text: 'clean', by: 'person' },
      ...wholeJob().filter(({ kind }) => kind === 'capture' || kind === 'presses' || kind === 'observation'),
      ...job.slice(at),
    ]).entries;
    const disturbed = fc
      .tuple(fc.array(fc.nat({ max: mended.length - 1 }), { maxLength: 2 }), fc.nat({ max: mended.length }), anyEntry)
      .map(([out, into, strange]) => mended.toSpliced(into, 0, strange).filter((_, i) => !out.includes(i)));
    fc.assert(
      fc.property(disturbed, (entries) => {
        if (foldJob(entries).result !== 'repaired') return;
        repaired += 1;
        const last = entries.findLastIndex(({ kind }) => kind === 'repair');
        expect(last).toBeGreaterThan(-1);
        const since = entries.slice(last + 1);
        const words = listedIn(entries).map((id) => lastWordOn(id, since));
        expect(words).toContain('pass');
        expect(words.filter((word) => word !== 'pass' && word !== 'nothing')).toEqual([]);
      }),
      { numRuns: runs(500) },
    );
    expect(repaired).toBeGreaterThan(0);
  });

  test('every check of the guide stands in exactly one count, and no attempt is lost', () => {
    fc.assert(
      fc.property(sequence, (entries) => {
        const state = foldJob(entries);
        const { checks, passed, failed, undecided, skipped, notDone } = state.counts;
        expect(passed + failed + undecided + skipped + notDone).toBe(checks);
        const attempts = entries.filter((entry) => 'attempt' in entry).length;
        expect(attemptsIn(state)).toBe(attempts);
      }),
    );
  });

  test('an entry comes out of its line as it went in', () => {
    fc.assert(
      fc.property(anyEntry, ({ prev, n, at, ...entry }) => {
        const sealed = sealEntry(entry as Entry, { prev, n, at });
        if (!sealed.ok) throw new Error(sealed.what);
        const opened = openLine(sealed.line.subarray(0, -1));
        expect(opened).toEqual({ ok: true, entry: sealed.entry, sha256: sealed.sha256, apart: {} });
        expect(sealed.line.indexOf(0x0a)).toBe(sealed.line.length - 1);
      }),
    );
  });
});

function listedIn(entries: Entry[]): string[] {
  const first = entries.find((entry) => entry.kind === 'opened');
  return first === undefined ? [] : first.guide.checks.map(({ id }) => id);
}

/** A voltage on the tips and a photo are seen at a check, and say nothing of how it stands. */
const saysNothing: ReadonlySet<Entry['kind']> = new Set(['live', 'photo']);

/** What the last entry about a check says, told without the fold. */
function lastWordOn(id: string, entries: Entry[]): string {
  const last = entries.findLast((entry) => 'check' in entry && entry.check === id && !saysNothing.has(entry.kind));
  return last !== undefined && 'outcome' in last ? last.outcome : 'nothing';
}

function attemptsIn(state: JobState): number {
  return Object.values(state.checks).reduce((sum, check) => sum + check.attempts.length, 0);
}

describe('a job without entries', () => {
  test('is open, undecided and without anything to do', () => {
    expect(emptyJob()).toMatchObject({
      opened: null,
      result: 'inconclusive',
      unfinished: [],
      closed: null,
      entries: 0,
    });
  });
});

import { describe, expect, test } from 'vitest';
import { isTooMuchLost } from '../../../src/measure/judge/lost-readings.ts';
import type { Entry } from '../../../src/record/entries/entries.ts';
import { verifyLost } from '../../../src/verify/determined/lost.ts';
import { captured, connected, DryBench, lift, make } from '../../support/dry-bench.ts';

const gap = (missing: number | null, tUs = 1_001_000) =>
  ({
    type: 'gap',
    gap: { kind: 'gap', cause: 'lost-readings', missing, fromUs: tUs - 500, toUs: tUs, text: 'some are missing' },
  }) as const;
const outcomeOf = (bench: DryBench) => bench.state.job.checks.path?.outcome;

test('a tenth of the readings of a touch may be lost, and no more', () => {
  expect(isTooMuchLost(10, 100_000, 1000)).toBe(false);
  expect(isTooMuchLost(11, 100_000, 1000)).toBe(true);
  expect(isTooMuchLost(Number.POSITIVE_INFINITY, 1e9, 1)).toBe(true);
});

describe('a touch that would pass', () => {
  test('passes where few of its readings are missing', () => {
    expect(outcomeOf(new DryBench().opened().happen(make).give(gap(3)).happen(captured(0.2)))).toBe('pass');
  });

  test.each([
    ['many', 40],
    ['nobody knows how many', null],
  ])('is unsteady where %s are missing, and is asked for again', (_name, missing) => {
    const bench = new DryBench().opened().happen(make).give(gap(missing)).happen(captured(0.2));
    expect(outcomeOf(bench)).toBe('unsteady');
    bench.happen(lift);
    expect(bench.state.run?.prompt?.check).toBe('path');
    expect(outcomeOf(bench.touch(0.2))).toBe('pass');
  });

  test('does not care what was lost before the tips touched', () => {
    expect(outcomeOf(new DryBench().opened().give(gap(null)).happen(make, captured(0.2)))).toBe('pass');
  });

  test('a proof is held to the same', () => {
    const bench = new DryBench().give(connected).answer('yes').answer('yes').happen(make).give(gap(40));
    bench.happen(captured(0.002));
    expect(bench.entries.find(({ kind }) => kind === 'proof')).toMatchObject({ outcome: 'unsteady' });
  });
});

describe('verify', () => {
  const bench = new DryBench().opened().touch(0.2);
  const capture = bench.entries.find((entry) => entry.kind === 'capture')!;
  const found = (gaps: { missing: number | null; fromUs: number; toUs: number }[], entry: Entry = capture) => {
    const codes: string[] = [];
    verifyLost(
      entry,
      gaps.map((each) => ({ ...gap(0).gap, n: 1, prev: '', at: '', ...each })),
      (code) => codes.push(code),
    );
    return codes;
  };

  test('a pass over many lost readings departs', () => {
    expect(found([{ missing: 40, fromUs: 1_000_000, toUs: 1_010_000 }])).toEqual(['evidence.lost']);
    const two = { missing: 4, fromUs: 1_000_000, toUs: 1_010_000 };
    expect(found([two])).toEqual([]);
    expect(found([two, two])).toEqual(['evidence.lost']);
  });

  test('what was lost outside the touch, and an outcome that decides nothing, are well', () => {
    expect(found([{ missing: 4000, fromUs: 100, toUs: 900_000 }])).toEqual([]);
    const undecided = { ...capture, outcome: 'unsteady' } as Entry;
    expect(found([{ missing: 40, fromUs: 1_000_000, toUs: 1_010_000 }], undecided)).toEqual([]);
  });

  test('holds a run of presses, two levels and the idle voltage of a bridge to the same', () => {
    const { window, contact } = capture.capture!;
    const many = [{ missing: 40, fromUs: window.tUs + 1, toUs: window.tUs + 5000 }];
    const base = { ...capture, outcome: 'pass' };
    const level = { capture: capture.capture, reading: capture.reading };
    for (const entry of [
      { ...base, kind: 'levels', dry: level, normal: level },
      { ...base, kind: 'bridge', idle: { window, contact, reading: capture.reading } },
      { ...base, kind: 'presses', presses: [{ window }, { window: { ...window, tUs: window.tUs + 20_000 } }] },
    ])
      expect(found(many, entry as unknown as Entry)).toEqual(['evidence.lost']);
  });

  test('does not know how many are missing of a gap without a number: too many', () => {
    expect(found([{ missing: null, fromUs: 1_000_000, toUs: 1_010_000 }])).toEqual(['evidence.lost']);
  });
});

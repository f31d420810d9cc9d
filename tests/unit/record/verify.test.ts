import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { foldJob } from '../../../src/record/state/fold.ts';
import { unreliableEntries } from '../../../src/verify/unreliable-entries.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { stride } from '../../support/runs.ts';
import {
  captured,
  captureOf,
  chainOf,
  type NewOf,
  observation,
  opened,
  presses,
  probe,
  proof,
  proofs,
  wholeJob,
  windowOf,
} from '../../support/sample-job.ts';

const start = [opened, probe(), ...proofs('opening')];
const codesOf = (entries: NewEntry[]) => verifyRecord(chainOf(entries).bytes).departures.map(({ code }) => code);

describe('verifying a whole record', () => {
  test('finds nothing amiss, derives every outcome again, and says what is worth knowing', () => {
    const report = verifyRecord(chainOf(wholeJob()).bytes);
    expect(report.departures).toEqual([]);
    expect(report).toMatchObject({ ok: true, result: 'passed', job: opened.job });
    expect(report.counters).toMatchObject({
      captures: 2,
      proofs: 4,
      presses: 1,
      observations: 1,
      derived: 10,
      withheld: 0,
    });
    expect(report.notes.map(({ code }) => code)).toEqual(['link.gap', 'signature.none', 'calibration.doubt']);
    expect(report.lastSha256).toMatch(/^[0-9a-f]{64}$/);
  });

  test('notes an open job, an override and a recovery, and holds them against nobody', () => {
    const used = { ...opened, revision: { holds: false, reason: 'other board', override: 'same contacts' } };
    const recovered: NewEntry = { kind: 'recovered', file: 'x.torn-1', bytes: 3, sha256: '0'.repeat(64), why: 'cut' };
    const report = verifyRecord(chainOf([used, recovered]).bytes);
    expect(report.ok).toBe(true);
    expect(report.notes.map(({ code }) => code)).toEqual(['revision.override', 'record.recovered', 'job.open']);
  });

  test('notes a clock that was set back, and orders by number', () => {
    const back = chainOf(
      [opened, ...Array.from({ length: 3 }, (): NewEntry => ({ kind: 'note', text: 'a' }))],
      0,
      -1000,
    );
    const report = verifyRecord(back.bytes);
    expect(report.ok).toBe(true);
    expect(report.notes.filter(({ code }) => code === 'clock.back')).toHaveLength(3);
  });
});

/** A reading as it is stored today: with the parts of its uncertainty. */
function budgetOf(ohm: number) {
  const { value, u, dof, state, parts } = readWindow(windowOf(ohm), nominalCalibration);
  return { value, u, dof, state, parts: Object.fromEntries(parts.map(({ name, u: part }) => [name, part])) };
}

describe('what the evidence rests on', () => {
  test('a reading with its parts holds when they follow from the codes', () => {
    expect(codesOf([...start, captured('spring', 0.4, 1, { reading: budgetOf(0.4) })])).toEqual([]);
  });

  test('a failed closing proof is noted at every capture since the opening proof, and at none besides', () => {
    const failed = proof('closing', 'check-resistor', 200);
    const entries = [
      ...start,
      captured('spring', 0.4),
      presses('key', [0.2]),
      proof('closing', 'shorted-tips'),
      failed,
    ];
    const chained = chainOf(entries);
    const report = verifyRecord(chained.bytes);
    const noted = report.notes.filter(({ code }) => code === 'proof.failed').map(({ n }) => n);
    const taken = chained.entries.filter(({ kind }) => kind === 'capture' || kind === 'presses').map(({ n }) => n);
    expect(noted).toEqual(taken);
    expect(unreliableEntries(foldJob(chained.entries))).toEqual(new Set(taken));
    const held = verifyRecord(chainOf([...start, captured('spring', 0.4), ...proofs('closing')]).bytes);
    expect(held.notes.map(({ code }) => code)).not.toContain('proof.failed');
  });
});

describe('verifying finds', () => {
  test.each<[string, NewEntry[], string]>([
    ['a fail told as a pass', [captured('spring', 47, 1, { outcome: 'pass' })], 'derive.outcome'],
    ['a borderline told as a pass', [captured('spring', 1.99, 1, { outcome: 'pass' })], 'derive.outcome'],
    ['a pass told as a fail', [captured('spring', 0.4, 1, { outcome: 'fail' })], 'derive.outcome'],
    ['a pass without codes', [captured('spring', 0.4, 1, { capture: null })], 'derive.outcome'],
    [
      'a reading without codes',
      [captured('spring', 0.4, 1, { capture: null, outcome: 'no-contact' })],
      'derive.reading',
    ],
    [
      'a part of the uncertainty that was made smaller',
      [
        captured('spring', 0.4, 1, {
          reading: { ...budgetOf(0.4), parts: { ...budgetOf(0.4).parts, calibration: 0 } },
        }),
      ],
      'derive.reading',
    ],
    [
      'a part of the uncertainty that is missing',
      [captured('spring', 0.4, 1, { reading: { ...budgetOf(0.4), parts: { repeatability: 0.001 } } })],
      'derive.reading',
    ],
    ['a pass without a reading', [captured('spring', 0.4, 1, { reading: null })], 'derive.reading'],
    [
      'codes that were not those of the reading',
      [captured('spring', 0.4, 1, { capture: captureOf(windowOf(0.5)) })],
      'derive.reading',
    ],
    [
      'limits that were widened',
      [captured('spring', 47, 1, { limits: { quantity: 'resistance', max: 100 } })],
      'derive.outcome',
    ],
    ['a rule that was loosened', [captured('spring', 1.99, 1, { rule: { name: 'simple' } })], 'derive.outcome'],
    ['another probability', [captured('spring', 1.99, 1, { pInside: 0.1 })], 'derive.p'],
    [
      'limits for another quantity',
      [captured('spring', 0.4, 1, { limits: { quantity: 'voltage', max: 2 } })],
      'derive.outcome',
    ],
    ['an attempt left out', [captured('spring', 0.4, 2)], 'order.attempt'],
    ['an attempt counted twice', [captured('spring', 0.4), captured('spring', 0.4)], 'order.attempt'],
    ['a level that is not that of the codes', [captured('spring', 0.4, 1, { level: 'dry' })], 'evidence.level'],
    [
      'a calibration that is not in the record',
      [captured('spring', 0.4, 1, { capture: { ...captureOf(windowOf(0.4)), calibration: 'elsewhere' } })],
      'evidence.calibration',
    ],
    [
      'a probe that was not connected',
      [captured('spring', 0.4, 1, { capture: { ...captureOf(windowOf(0.4)), probeSerial: 1 } })],
      'evidence.probe',
    ],
    [
      'two calibrations of one name',
      [probe(undefined, { ...nominalCalibration, leadOhm: 0.1 })],
      'evidence.calibration',
    ],
    [
      'a proof that did not hold told as one that did',
      [{ ...proof('opening', 'shorted-tips', 5), outcome: 'pass' }],
      'derive.outcome',
    ],
    ['an unsure answer told as a pass', [{ ...observation('lens', 'unsure'), outcome: 'pass' }], 'derive.outcome'],
    ['a wrong answer told as a pass', [{ ...observation('lens', 'yes'), outcome: 'pass' }], 'derive.outcome'],
    ['bad presses told as a pass', [{ ...presses('key', [0.2, 'missed']), outcome: 'pass' }], 'derive.outcome'],
    ['too few presses told as a pass', [{ ...presses('key', [0.2]), count: 2 }], 'derive.outcome'],
    ['good presses told as a fail', [{ ...presses('key', [0.2, 0.2]), outcome: 'fail' }], 'derive.outcome'],
    ['a bouncy press told as good', [{ ...presses('key', [0.2]), maxBounceUs: 100 }], 'derive.outcome'],
    ['an entry after the closing', [...wholeJob().slice(4), { kind: 'note', text: 'late' }], 'order.closed'],
    ['a job opened twice', [opened], 'order.opened'],
  ])('%s', (_, entries, code) => {
    expect(codesOf([...start, ...entries])).toContain(code);
  });

  test('a missed press told as good, even with codes of a good one', () => {
    const run = presses('key', [0.2, 0.2]);
    const missed: NewOf<'presses'> = { ...run, presses: run.presses.map((press) => ({ ...press, missed: true })) };
    expect(codesOf([...start, missed])).toContain('derive.outcome');
  });

  test('a conclusion drawn while a voltage was on the tips', () => {
    const window = windowOf(0.4);
    const capture = captureOf({ ...window, flagBits: window.flagBits | flagBits.live });
    expect(codesOf([...start, captured('spring', 0.4, 1, { capture })])).toEqual(['evidence.live']);
    const live = captured('spring', 0.4, 1, { capture, outcome: 'live', pInside: null });
    expect(codesOf([...start, live])).toEqual([]);
  });

  test('an open that was taken by itself though nobody saw the tips touch', () => {
    const honest = captured('spring', 1e6);
    expect(honest).toMatchObject({ outcome: 'fail', reading: { state: 'above-range' } });
    const unseen = { ...honest.capture!, contact: { ...honest.capture!.contact, seated: false } };
    expect(codesOf([...start, honest])).toEqual([]);
    expect(codesOf([...start, { ...honest, capture: unseen }])).toEqual(['evidence.unseated']);
    expect(codesOf([...start, { ...honest, capture: unseen, by: 'button' }])).toEqual([]);
  });

  test('a closing that claims more than the entries bear out', () => {
    const whole = wholeJob(47);
    const closing = whole.at(-1) as NewOf<'closed'>;
    const others = whole.slice(0, -1);
    expect(closing.result).toBe('failed');
    expect(codesOf([...others, { ...closing, result: 'passed' }])).toEqual(['closed.result']);
    expect(codesOf([...others, { ...closing, result: 'abandoned' }])).toEqual([]);
    expect(codesOf([...others, { ...closing, proofs: 'missing' }])).toEqual(['closed.proofs']);
    expect(codesOf([...others, { ...closing, counts: { ...closing.counts, passed: 3 } }])).toEqual(['closed.counts']);
  });

  test("a guide's text that is not the one of the digest", () => {
    expect(codesOf([{ ...opened, guide: { ...opened.guide, text: 'other' } }])).toEqual(['guide.digest']);
  });

  test('an outcome that claims nothing is withheld, not derived', () => {
    const unsteady = captured('spring', 0.4, 1, { outcome: 'unsteady', pInside: null });
    const report = verifyRecord(chainOf([...start, unsteady]).bytes);
    expect(report.ok).toBe(true);
    expect(report.counters.withheld).toBe(1);
  });

  test('an empty file', () => {
    const report = verifyRecord(Buffer.alloc(0));
    expect(report.ok).toBe(false);
    expect(report.departures.map(({ code }) => code)).toEqual(['record.empty']);
  });
});

describe('verifying a small record with one byte changed', { timeout: 120_000 }, () => {
  const { bytes } = chainOf([...start, captured('spring', 0.4), { kind: 'note', text: 'né' }]);

  test('finds it, whichever byte it is', () => {
    expect(verifyRecord(bytes).ok).toBe(true);
    const missed: number[] = [];
    for (let at = 0; at < bytes.length; at += stride) {
      const flipped = Buffer.from(bytes);
      flipped[at] = flipped[at]! ^ (1 << (at % 8));
      if (verifyRecord(flipped).ok) missed.push(at);
    }
    expect(missed).toEqual([]);
  });

  test('finds a byte cut off or added anywhere', () => {
    const missed: number[] = [];
    for (let at = 0; at < bytes.length; at += stride) {
      const without = Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 1)]);
      const doubled = Buffer.concat([bytes.subarray(0, at), Buffer.from(' '), bytes.subarray(at)]);
      if (verifyRecord(without).ok || verifyRecord(doubled).ok) missed.push(at);
    }
    expect(missed).toEqual([]);
  });
});

import { describe, expect, test } from 'vitest';
import { decideHold } from '../../../src/checks/steady/judge.ts';
import { defaultContactSettings } from '../../../src/measure/contact/contact-settings.ts';
import { dropOutsOf, HoldRecorder } from '../../../src/measure/contact/steady-hold.ts';
import { holdSpan } from '../../../src/measure/judge/hold-span.ts';
import { codeOfOhm, rangeCalibration } from '../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { Reading, Rule } from '../../../src/measure/types.ts';
import { readingFlags } from '../../../src/protocol/flags.ts';
import { flagBits } from '../../../src/protocol/table.ts';

const periodUs = 884;
const bits = flagBits.excitation | flagBits.seatA | flagBits.seatB | flagBits.auto;
const openCode = 16_368;
const rule: Rule = { name: 'guarded', p: 0.975 };

function codeAt(ohm: number, range = 1): number {
  return Math.round(
    codeOfOhm(ohm + nominalCalibration.leadOhm, rangeCalibration(nominalCalibration, range, 'normal')!),
  );
}

/** Feeds a recorder with one code a reading, eight to a batch, noise as a converter has it. */
class Feed {
  readonly recorder = new HoldRecorder(0, defaultContactSettings, nominalCalibration);
  #nowUs = periodUs;
  #edges = 0;

  codes(code: number, n: number, { seated = true, edges = 0, range = 1 } = {}): this {
    for (let done = 0; done < n; done += 8) {
      const size = Math.min(8, n - done);
      this.#edges += done === 0 ? edges : 0;
      const flags = seated ? bits : bits & ~flagBits.seatA;
      const noisy = Array.from({ length: size }, (_, i) => Math.min(openCode, code + ((i * 3) % 5) - 2));
      this.recorder.push({
        index: 0,
        tUs: this.#nowUs,
        periodUs,
        range,
        flags: readingFlags(flags),
        flagBits: flags,
        lost: 0,
        edges: this.#edges,
        codes: Uint16Array.from(noisy),
      });
      this.#nowUs += size * periodUs;
    }
    return this;
  }

  get hold() {
    return this.recorder.hold();
  }
}

function settled(ohm: number): Reading {
  return { quantity: 'resistance', value: ohm, u: 0.01, dof: 50, state: 'in-range', rangeEnd: 100, parts: [] };
}

function judged(feed: Feed, ohm = 2) {
  const { buckets } = feed.hold;
  const span = holdSpan(buckets, 'normal', nominalCalibration);
  const against = { limits: { quantity: 'resistance', max: 4 } as const, rule, maxDropOuts: 0, maxWander: 0.2 };
  return { span, ...decideHold(settled(ohm), span, dropOutsOf(feed.hold), against) };
}

describe('a hold', () => {
  test('of a still contact is steady: no drop-out, no wander beyond noise', () => {
    const feed = new Feed().codes(codeAt(2), 2000);
    expect(dropOutsOf(feed.hold)).toEqual({ count: 0, longestUs: 0, totalUs: 0, subReading: 0 });
    const { span, outcome } = judged(feed);
    expect(outcome).toBe('pass');
    expect(span!.medianOhm).toBeCloseTo(2, 2);
    expect(span!.wander).toBeLessThan(0.02);
  });

  test('counts an opening with its length, and leaves its codes out of what is read', () => {
    const feed = new Feed().codes(codeAt(2), 400).codes(openCode, 20).codes(codeAt(2), 400);
    const { count, longestUs } = dropOutsOf(feed.hold);
    expect(count).toBe(1);
    expect(longestUs).toBeGreaterThan(18 * periodUs);
    expect(longestUs).toBeLessThan(24 * periodUs);
    const { span, outcome, isUnsteady } = judged(feed);
    expect({ outcome, isUnsteady }).toEqual({ outcome: 'fail', isUnsteady: true });
    expect(span!.maxOhm).toBeLessThan(2.1);
  });

  test('counts an opening that lasts to its end', () => {
    const feed = new Feed().codes(codeAt(2), 400).codes(openCode, 8).codes(openCode, 40, { range: 4 });
    expect(dropOutsOf(feed.hold).count).toBe(1);
  });

  test('tells openings shorter than a reading from the edge counter', () => {
    const feed = new Feed().codes(codeAt(2), 400).codes(codeAt(2), 8, { edges: 3 }).codes(codeAt(2), 400);
    expect(dropOutsOf(feed.hold)).toMatchObject({ count: 0, subReading: 3 });
    expect(judged(feed).outcome).toBe('fail');
  });

  test('does not count an opening twice that the edge counter saw as well', () => {
    const feed = new Feed().codes(codeAt(2), 400).codes(openCode, 20, { edges: 1 }).codes(codeAt(2), 400);
    expect(dropOutsOf(feed.hold)).toMatchObject({ count: 1, subReading: 0 });
  });

  test('leaves out what a hand does: readings with a tip not seated are no drop-out', () => {
    const feed = new Feed()
      .codes(codeAt(2), 400)
      .codes(openCode, 16, { seated: false, edges: 1 })
      .codes(codeAt(2), 400);
    expect(dropOutsOf(feed.hold)).toMatchObject({ count: 0, subReading: 0 });
    expect(judged(feed).outcome).toBe('pass');
  });

  test('that wanders fails, and says from where to where', () => {
    const feed = new Feed().codes(codeAt(2), 400).codes(codeAt(3), 200).codes(codeAt(2), 200);
    const { span, outcome, isUnsteady } = judged(feed);
    expect({ outcome, isUnsteady }).toEqual({ outcome: 'fail', isUnsteady: true });
    expect(span!.maxOhm).toBeCloseTo(3, 1);
    expect(span!.wander).toBeCloseTo(0.5, 1);
  });

  test('of next to no ohms does not wander by a milliohm', () => {
    const feed = new Feed().codes(codeAt(0.01, 0), 400, { range: 0 }).codes(codeAt(0.012, 0), 400, { range: 0 });
    expect(judged(feed, 0.01).outcome).toBe('pass');
  });

  test('without any reading passes nothing', () => {
    expect(judged(new Feed()).outcome).toBe('borderline');
  });

  test('openings of the last moments can be left out', () => {
    const feed = new Feed().codes(codeAt(2), 400).codes(openCode, 8).codes(codeAt(2), 50);
    const { heldUs } = feed.hold;
    expect(dropOutsOf(feed.hold, heldUs - 100_000).count).toBe(0);
    expect(dropOutsOf(feed.hold).count).toBe(1);
  });
});

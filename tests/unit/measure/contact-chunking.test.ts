import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { defaultContactSettings } from '../../../src/measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../../src/measure/contact/contact-tracker.ts';
import { defaultPressSettings, startPresses, stepPresses } from '../../../src/measure/contact/presses.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { ContactEvent, PressEvent } from '../../../src/measure/types.ts';
import type { ReadingBatch } from '../../../src/protocol/reading-batch.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { airFlags, Script, seatedFlags } from '../../support/probe-stream.ts';
import { runs } from '../../support/runs.ts';

/** One stretch of a stream: how long, what is at the tips, on which range. */
const stretch = fc.record({
  forUs: fc.oneof(fc.integer({ min: 900, max: 20_000 }), fc.integer({ min: 20_000, max: 400_000 })),
  ohm: fc.constantFrom(0, 0.05, 0.43, 1.2, 5, 80, 2e3, 5e5, 9e6, Number.POSITIVE_INFINITY),
  range: fc.integer({ min: 0, max: 4 }),
  flags: fc.constantFrom(
    seatedFlags,
    seatedFlags,
    seatedFlags,
    airFlags,
    airFlags | flagBits.seatA,
    seatedFlags | flagBits.voltage | flagBits.live,
    flagBits.voltage | flagBits.seatA | flagBits.seatB,
    seatedFlags & ~flagBits.auto,
    flagBits.excitation | flagBits.inputHigh,
    0,
  ),
  gapUs: fc.constantFrom(0, 0, 0, 884, 5_000, 100_000),
});

const stream = fc.record({
  seed: fc.integer(),
  stretches: fc.array(stretch, { minLength: 1, maxLength: 12 }),
  cuts: fc.array(fc.integer({ min: 1, max: 16 }), { minLength: 1, maxLength: 20 }),
  seatSense: fc.boolean(),
});

type Stretch = typeof stretch extends fc.Arbitrary<infer T> ? T : never;

function scriptOf(seed: number, stretches: Stretch[]): Script {
  const script = new Script(seed);
  for (const { forUs, ohm, range, flags, gapUs } of stretches) script.ohm(forUs, ohm, range, flags).gap(gapUs);
  return script;
}

function cutBy(cuts: number[]): () => number {
  let i = 0;
  return () => cuts[i++ % cuts.length]!;
}

function follow(batches: ReadingBatch[], seatSense: boolean): ContactEvent[] {
  const tracker = new ContactTracker(startContact({ ...defaultContactSettings, seatSense }, nominalCalibration));
  return batches.flatMap((batch) => tracker.push(batch));
}

describe('the same readings', () => {
  test('give the same events however they are cut into batches', () => {
    fc.assert(
      fc.property(stream, ({ seed, stretches, cuts, seatSense }) => {
        const script = scriptOf(seed, stretches);
        const expected = follow(script.batches(1), seatSense);
        expect(follow(script.batches(cutBy(cuts)), seatSense)).toEqual(expected);
      }),
      { numRuns: runs(150) },
    );
  });

  test('give the same events when the state goes through JSON between any two batches, and leave old states as they were', () => {
    fc.assert(
      fc.property(stream, ({ seed, stretches, cuts, seatSense }) => {
        const script = scriptOf(seed, stretches);
        const batches = script.batches(cutBy(cuts));
        let state = startContact({ ...defaultContactSettings, seatSense }, nominalCalibration);
        const events: ContactEvent[] = [];
        for (const batch of batches) {
          const before = JSON.stringify(state);
          const tracker = new ContactTracker(state);
          events.push(...tracker.push(batch));
          expect(JSON.stringify(state)).toBe(before);
          state = JSON.parse(JSON.stringify(tracker.state()));
        }
        expect(events).toEqual(follow(batches, seatSense));
      }),
      { numRuns: runs(40) },
    );
  });

  test('give the same presses however they are cut, and whole through JSON', () => {
    const settings = { ...defaultPressSettings, beatUs: 300_000 };
    const count = (batches: ReadingBatch[], json: boolean): PressEvent[] => {
      let state = startPresses(settings, nominalCalibration);
      return batches.flatMap((batch) => {
        const stepped = stepPresses(state, batch);
        state = json ? JSON.parse(JSON.stringify(stepped.state)) : stepped.state;
        return stepped.events;
      });
    };
    fc.assert(
      fc.property(stream, ({ seed, stretches, cuts }) => {
        const script = scriptOf(seed, stretches);
        expect(count(script.batches(cutBy(cuts)), true)).toEqual(count(script.batches(1), false));
      }),
      { numRuns: runs(60) },
    );
  });
});

test('whatever comes, a touch has one make, at most one capture, at most one unsteady, one lift, in this order', () => {
  fc.assert(
    fc.property(stream, ({ seed, stretches, seatSense }) => {
      const letters = follow(scriptOf(seed, stretches).batches(), seatSense)
        .map(({ kind }) => ({ make: 'm', settling: '', captured: 'c', unsteady: 'u', lift: 'l', live: '' })[kind])
        .join('');
      expect(letters).toMatch(/^(mc?u?l)*(mc?u?)?$/);
    }),
    { numRuns: runs(150) },
  );
});

test('events come in order of time', () => {
  fc.assert(
    fc.property(stream, ({ seed, stretches, seatSense }) => {
      const times = follow(scriptOf(seed, stretches).batches(), seatSense).map(({ tUs }) => tUs);
      expect(times).toEqual([...times].sort((a, b) => a - b));
    }),
    { numRuns: runs(60) },
  );
});

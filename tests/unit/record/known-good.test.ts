import { describe, expect, test } from 'vitest';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { foldJob } from '../../../src/record/state/fold.ts';
import { knownGoodOf, unitOf } from '../../../src/record/state/known-good.ts';
import { proofsIn } from '../../../src/record/state/proof-history.ts';
import { captured, chainOf, opened, presses, probe, proof, proofs, wholeJob } from '../../support/sample-job.ts';

const good = (entries: NewEntry[]) => {
  const chained = chainOf(entries).entries;
  return knownGoodOf(foldJob(chained), chained);
};

describe('what a job says of a known-good unit', () => {
  test('is the latest reading of each check with limits, whatever it was judged as', () => {
    const [spring, key, ...others] = good(wholeJob(1.2));
    expect(others).toEqual([]);
    expect(spring).toMatchObject({ check: 'spring', why: null });
    expect(spring!.reading!.value).toBeCloseTo(1.2, 1);
    // the largest of the presses: the one that an upper limit meets first
    expect(key!.reading!.value).toBeCloseTo(0.3, 2);
    const high = good(wholeJob(40))[0]!;
    expect(high.reading!.value).toBeCloseTo(40, 0);
  });

  test('is nothing where the proofs are missing or failed', () => {
    const open = [opened, probe(), ...proofs('opening'), captured('spring', 0.4)];
    expect(good(open)[0]).toMatchObject({ reading: null, why: 'the proofs of the probe are not complete' });
    const failed = [...open, proof('closing', 'shorted-tips'), proof('closing', 'check-resistor', 130)];
    expect(good(failed)[0]).toMatchObject({ reading: null, why: 'the proofs of the probe failed' });
    expect(good([...open, ...proofs('closing')])[0]!.reading).not.toBeNull();
  });

  test('is nothing for a check that was not done or settled on nothing', () => {
    const done = [opened, probe(), ...proofs('opening'), presses('key', ['missed', 'missed']), ...proofs('closing')];
    expect(good(done)).toMatchObject([
      { check: 'spring', reading: null, why: 'not done' },
      { check: 'key', reading: null },
    ]);
    const unsteady = { outcome: 'unsteady' as const, why: 'it wandered', reading: null, capture: null, pInside: null };
    const wandered = [
      opened,
      probe(),
      ...proofs('opening'),
      captured('spring', 0.4, 1, unsteady),
      ...proofs('closing'),
    ];
    expect(good(wandered)[0]).toMatchObject({ reading: null, why: 'it wandered' });
  });

  test('belongs to the unit with the serial number, or with the job', () => {
    const named = foldJob(chainOf([{ ...opened, device: { ...opened.device, serial: 'L-7' } }]).entries);
    expect(unitOf(named)).toBe('L-7');
    expect(unitOf(foldJob(chainOf([opened]).entries))).toBe(opened.job);
  });
});

describe('proofs in a record', () => {
  test('are all of them, with what the codes themselves explain of their spread', () => {
    const found = proofsIn(chainOf(wholeJob()).entries);
    expect(found.map(({ when, what }) => `${when} ${what}`)).toEqual([
      'opening shorted-tips',
      'opening check-resistor',
      'closing shorted-tips',
      'closing check-resistor',
    ]);
    for (const { job, ohm, uRepeatOhm, what, probeSerial } of found) {
      expect(job).toBe(opened.job);
      expect(probeSerial).toBe(4711);
      expect(ohm!).toBeCloseTo(what === 'shorted-tips' ? 0 : 100, 0);
      expect(uRepeatOhm).toBeGreaterThan(0);
      expect(uRepeatOhm).toBeLessThan(0.5);
    }
  });

  test('without a capture have the probe before them; before any probe there is none', () => {
    const untouched = {
      ...proof('opening', 'shorted-tips'),
      capture: null,
      reading: null,
      outcome: 'no-contact' as const,
    };
    expect(proofsIn(chainOf([opened, untouched]).entries)).toEqual([]);
    expect(proofsIn(chainOf([opened, probe(77), untouched]).entries)).toMatchObject([
      { probeSerial: 77, ohm: null, uRepeatOhm: 0 },
    ]);
  });
});

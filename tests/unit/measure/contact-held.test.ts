import { describe, expect, test } from 'vitest';
import { flagBits } from '../../../src/protocol/table.ts';
import { periodUs, Script, seatedFlags } from '../../support/probe-stream.ts';
import { kinds, only, open, run, touchDown, voltSeated } from './contact-run.ts';

const settled = () => touchDown(new Script()).ohm(100_000, 0.43, 0);

describe('a captured touch that is held', () => {
  test('and drops out is unsteady, with count and length', () => {
    const result = run(
      settled()
        .ohm(4 * periodUs, open, 0)
        .ohm(5 * periodUs, 0.43, 0)
        .ohm(2 * periodUs, open, 0)
        .ohm(300_000, 0.43, 0)
        .air(60_000),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady', 'lift']);
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({
      count: 2,
      longestUs: 4 * periodUs,
      totalUs: 6 * periodUs,
    });
    expect(only(result, 'lift').contact.dropOuts.count).toBe(2);
  });

  test('and loses its seat for a moment is unsteady', () => {
    const result = run(
      settled()
        .ohm(3 * periodUs, 0.43, 0, seatedFlags & ~flagBits.seatB)
        .ohm(300_000, 0.43, 0),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({ count: 1, longestUs: 3 * periodUs });
  });

  test('and opens through the ranges for good is unsteady, not lifted', () => {
    const result = run(
      settled()
        .ohm(2 * periodUs, open, 0)
        .gap(periodUs)
        .ohm(2 * periodUs, open, 1)
        .gap(periodUs)
        .ohm(2 * periodUs, open, 2)
        .gap(periodUs)
        .ohm(2 * periodUs, open, 3)
        .gap(3 * periodUs)
        .ohm(400_000, open, 4),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').why).toContain('opened while held');
  });

  test('and wanders is unsteady, and says from where to where', () => {
    const result = run(settled().ohm(300_000, 0.62, 0));
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').why).toMatch(/moved from 0\.4[23]\d* ohm to 0\.6\d* ohm/);
  });

  test('and wanders to another range is unsteady', () => {
    expect(kinds(run(settled().gap(periodUs).ohm(300_000, 5, 1)))).toEqual(['make', 'captured', 'unsteady']);
  });

  test('but only changes range at the same resistance is steady', () => {
    const result = run(new Script().air(50_000).ohm(200_000, 0.9, 0).gap(periodUs).ohm(300_000, 0.9, 1));
    expect(kinds(result)).toEqual(['make', 'captured']);
  });

  test('and scrapes while it is lifted is steady', () => {
    const script = settled().ohm(20_000, (us) => 0.43 + us / 2e5, 0);
    for (let i = 0; i < 4; i++) script.ohm(2 * periodUs, 0.6, 0).air(2 * periodUs);
    expect(kinds(run(script.air(60_000)))).toEqual(['make', 'captured', 'lift']);
  });

  test('and stays is captured once, however long', () => {
    expect(kinds(run(touchDown(new Script(11)).ohm(20_000_000, 0.43, 0)))).toEqual(['make', 'captured']);
  });

  test('stays what it was when the host goes on to measure something else', () => {
    const script = settled().volt(300_000, 2.5, voltSeated);
    script.edges += 1;
    expect(kinds(run(script.ohm(300_000, 0.43, 0)))).toEqual(['make', 'captured']);
  });

  test('of a voltage is captured once, however long', () => {
    expect(kinds(run(new Script().volt(50_000, 0, flagBits.voltage).volt(3_000_000, 3.3, voltSeated)))).toEqual([
      'make',
      'captured',
    ]);
  });

  test('of a voltage that collapses is unsteady', () => {
    expect(
      kinds(
        run(
          new Script().volt(50_000, 0, flagBits.voltage).volt(200_000, 3.3, voltSeated).volt(300_000, 1.1, voltSeated),
        ),
      ),
    ).toEqual(['make', 'captured', 'unsteady']);
  });

  test('and closes after it was captured open is unsteady', () => {
    const result = run(new Script().air(50_000).ohm(100_000, open, 4).ohm(300_000, 1e6, 4));
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
  });
});

describe('drop-outs shorter than a reading', () => {
  test('are counted at least, from the edge counter, and make a held touch unsteady', () => {
    const script = touchDown(new Script()).ohm(100_000, 0.43, 0);
    script.edges += 3;
    const result = run(script.ohm(300_000, 0.43, 0));
    expect(kinds(result)).toEqual(['make', 'captured', 'unsteady']);
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({ count: 0, subReading: 3 });
  });

  test('are counted beside those that readings show, across the wrap of the counter', () => {
    const script = new Script();
    script.edges = 65_534;
    touchDown(script).ohm(100_000, 0.43, 0);
    script.edges += 1;
    script.ohm(3 * periodUs, open, 0);
    script.edges += 2;
    const result = run(script.ohm(300_000, 0.43, 0));
    expect(only(result, 'unsteady').contact.dropOuts).toMatchObject({ count: 1, subReading: 2 });
  });

  test('inside a window keep it from settling', () => {
    const script = touchDown(new Script());
    for (let i = 0; i < 5; i++) {
      script.ohm(15_000, 0.43, 0);
      script.edges += 1;
    }
    const bounced = only(run(script.ohm(200_000, 0.43, 0)), 'captured');
    expect(bounced.tUs).toBeGreaterThan(1_000_000 + 50_000 + 75_000 + 30_000);
  });

  test('at the lift are none', () => {
    const script = touchDown(new Script()).ohm(100_000, 0.43, 0);
    script.edges += 2;
    const result = run(script.ohm(5 * periodUs, 0.43, 0).air(100_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    expect(only(result, 'lift').contact.dropOuts.subReading).toBe(0);
  });
});

import { describe, expect, test } from 'vitest';
import { flagBits } from '../../../src/protocol/table.ts';
import { periodUs, Script } from '../../support/probe-stream.ts';
import { checkInput, kinds, only, run, touchDown, voltSeated } from './contact-run.ts';

describe('gaps and clocks', () => {
  test('a gap voids the window', () => {
    const result = run(
      new Script()
        .air(50_000)
        .ohm(20_000, 1e5, 4)
        .gap(5 * periodUs)
        .ohm(100_000, 1e5, 4),
    );
    const { window } = only(result, 'captured');
    expect(window.tUs).toBeGreaterThanOrEqual(1_000_000 + 50_000 + 20_000);
  });

  test('a held touch stays held over a long gap: nobody saw it lift', () => {
    expect(kinds(run(new Script().air(50_000).ohm(100_000, 1e5, 4).gap(5_000_000).ohm(200_000, 1e5, 4)))).toEqual([
      'make',
      'captured',
    ]);
  });

  test('a probe that began its clock anew ends the touch; the tips must lift before the next counts', () => {
    const script = new Script().air(50_000).ohm(100_000, 1e5, 4);
    script.tUs = 500;
    const result = run(script.ohm(200_000, 1e5, 4).air(60_000).ohm(100_000, 1e5, 4));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift', 'make', 'lift', 'make', 'captured']);
  });

  test('another reading rate has a window of as long a time', () => {
    const script = new Script();
    script.periodUs = 442;
    expect(only(run(script.air(50_000).ohm(100_000, 1e5, 4)), 'captured').window.codes).toHaveLength(54);
  });

  test('times far beyond 32 bits are times', () => {
    expect(
      kinds(
        run(
          touchDown(new Script(1, 2 ** 40))
            .ohm(100_000, 0.43, 0)
            .air(50_000),
        ),
      ),
    ).toEqual(['make', 'captured', 'lift']);
  });
});

describe('live', () => {
  test('is told when a voltage drops the source, and nothing is captured meanwhile', () => {
    const live = voltSeated | flagBits.live;
    const result = run(
      new Script().air(50_000).ohm(10_000, 1e5, 4).volt(300_000, 3.7, live).volt(20_000, 0, flagBits.voltage),
    );
    expect(kinds(result)).toEqual(['make', 'live', 'live']);
    expect(result.contactEvents.map((contactEvent) => (contactEvent.kind === 'live' ? contactEvent.on : null))).toEqual(
      [null, true, false],
    );
  });

  test('is no news in voltage mode: a voltage is what is looked for', () => {
    const result = run(
      new Script()
        .volt(50_000, 0, flagBits.voltage)
        .volt(100_000, 3.7, voltSeated | flagBits.live)
        .volt(60_000, 0, flagBits.voltage),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });

  test('does not count against settling', () => {
    const result = run(
      new Script()
        .air(50_000)
        .ohm(10_000, 1e5, 4)
        .volt(3_000_000, 3.7, voltSeated | flagBits.live)
        .ohm(100_000, 1e5, 4),
    );
    expect(kinds(result)).toEqual(['make', 'live', 'live', 'captured']);
  });
});

describe('voltage', () => {
  test('settles with seated tips, of either sign', () => {
    const result = run(new Script().volt(50_000, 0, flagBits.voltage).volt(100_000, -1.8, voltSeated));
    expect(only(result, 'captured').reading).toMatchObject({ quantity: 'voltage', state: 'in-range' });
    expect(Math.abs(only(result, 'captured').reading.value + 1.8)).toBeLessThan(0.02);
  });

  test('of zero with seated tips is a capture', () => {
    expect(kinds(run(new Script().volt(50_000, 0, flagBits.voltage).volt(100_000, 0, voltSeated)))).toEqual([
      'make',
      'captured',
    ]);
  });

  test('without seat sense makes contact by its size', () => {
    const result = run(
      new Script()
        .volt(50_000, 0, flagBits.voltage)
        .volt(100_000, 3.3, flagBits.voltage)
        .volt(60_000, 0, flagBits.voltage),
      {
        seatSense: false,
      },
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
  });
});

describe("the probe's own inputs", () => {
  test('are captured without any tip touching', () => {
    const result = run(new Script().air(50_000).ohm(100_000, 100, 2, checkInput).air(60_000));
    expect(kinds(result)).toEqual(['make', 'captured', 'lift']);
    expect(only(result, 'captured').reading.value).toBeCloseTo(100, 0);
  });

  test('leave tips that touch afterwards uncounted until they lift', () => {
    const result = run(
      new Script().air(20_000).ohm(100_000, 100, 2, checkInput).ohm(200_000, 0.1, 1).air(60_000).ohm(100_000, 1e5, 4),
    );
    expect(kinds(result)).toEqual(['make', 'captured', 'lift', 'make', 'lift', 'make', 'captured']);
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decideBridge } from '../../../src/checks/bridge/judge.ts';
import { ClosureWatch } from '../../../src/measure/contact/closure-watch.ts';
import { type Closure, probabilityCollapsed, proveClosure } from '../../../src/measure/judge/closure.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { CaptureWindow, Limits, Rule } from '../../../src/measure/types.ts';
import { readingFlags } from '../../../src/protocol/flags.ts';
import type { ReadingBatch } from '../../../src/protocol/reading-batch.ts';
import { flagBits } from '../../../src/protocol/table.ts';

const rule: Rule = { name: 'guarded', p: 0.975 };
const limits: Limits = { quantity: 'voltage', min: 1.65, max: 1.95 };
const how = { collapse: 0.3, durationMs: 100, rule };
const periodUs = 884;
const openBits = flagBits.voltage | flagBits.seatA | flagBits.seatB;
const closedBits = openBits | flagBits.bridge;

function codesAt(volt: number, n: number): number[] {
  const { nZero, codesPerVolt } = nominalCalibration.voltage;
  return Array.from({ length: n }, (_, i) => Math.round(nZero + codesPerVolt * volt) + ((i * 7) % 5) - 2);
}

function windowAt(volt: number, n = 27, bits = openBits): CaptureWindow {
  return { tUs: 1_000_000, periodUs, range: 0, level: 'normal', flagBits: bits, codes: codesAt(volt, n) };
}

const idle = (volt: number) => readWindow(windowAt(volt), nominalCalibration);

function closure(windows: CaptureWindow[], change: Partial<Closure> = {}): Closure {
  return { windows, closedUs: 1_000_000, openedUs: 1_100_000, openedBy: 'timeUp', ...change };
}

const prove = (idleVolt: number, one: Closure) => proveClosure(idle(idleVolt), one, how, nominalCalibration);

describe('a closure', () => {
  test('is proven when the voltage collapsed for the whole of it', () => {
    const proof = prove(1.8, closure([windowAt(0.02, 110, closedBits)]));
    expect(proof.proven).toBe(true);
    expect(Math.abs(proof.reading!.value)).toBeLessThan(0.03);
  });

  test('is proven with the tips the other way round', () => {
    expect(prove(-1.8, closure([windowAt(-0.02, 110, closedBits)])).proven).toBe(true);
  });

  test.each([
    ['the voltage stayed', closure([windowAt(1.79, 110, closedBits)])],
    ['the voltage fell too little', closure([windowAt(0.7, 110, closedBits)])],
    ['what is left is within the uncertainty of the share', closure([windowAt(0.53, 110, closedBits)])],
    ['a tip came off for the last stretch', closure([windowAt(0.02, 80, closedBits), windowAt(1.8, 30, closedBits)])],
    [
      'a tip came off inside of one window',
      closure([{ ...windowAt(0, 0, closedBits), codes: [...codesAt(0.02, 60), ...codesAt(1.8, 50)] }]),
    ],
    ['it was seen for a part of the time only', closure([windowAt(0.02, 30, closedBits)])],
    ['no reading was taken of it', closure([])],
    ['too few readings were taken of it', closure([windowAt(0.02, 5, closedBits)])],
    ['the host fell silent', closure([windowAt(0.02, 110, closedBits)], { openedBy: 'heartbeat' })],
    ['the voltage was too high for it', closure([windowAt(0.02, 110, closedBits)], { openedBy: 'overVoltage' })],
  ])('is not proven when %s', (_, one) => {
    expect(prove(1.8, one).proven).toBe(false);
  });

  test('is never proven by a voltage that did not fall, whatever the idle one was', () => {
    const volt = fc.double({ min: -5, max: 5, noNaN: true });
    fc.assert(
      fc.property(volt, fc.double({ min: 0.31, max: 3, noNaN: true }), (idleVolt, share) => {
        expect(prove(idleVolt, closure([windowAt(idleVolt * share, 110, closedBits)])).proven).toBe(false);
      }),
    );
  });

  test('with no voltage to begin with proves nothing', () => {
    expect(prove(0, closure([windowAt(0, 110, closedBits)])).proven).toBe(false);
  });

  test('its probability is a half where the voltage lies at the share, and rises as it falls', () => {
    const at = (volt: number) => probabilityCollapsed(idle(1.8), idle(volt), 0.3);
    expect(at(idle(1.8).value * 0.3)).toBeCloseTo(0.5, 1);
    expect(at(0.4)).toBeGreaterThan(at(0.5));
    expect(at(0.5)).toBeGreaterThan(at(0.6));
  });
});

describe('a bridge check', () => {
  const proven = prove(1.8, closure([windowAt(0.02, 110, closedBits)]));
  const unproven = prove(1.8, closure([windowAt(1.79, 110, closedBits)]));
  const yes = { answer: 'yes', respondedBefore: false, delayUs: null } as const;

  test.each([
    ['pass', 'proven and a response', idle(1.8), proven, yes],
    ['fail', 'proven and no response', idle(1.8), proven, { ...yes, answer: 'no' as const }],
    ['borderline', 'proven and unsure', idle(1.8), proven, { ...yes, answer: 'unsure' as const }],
    ['borderline', 'proven and not asked', idle(1.8), proven, null],
    ['borderline', 'a response that came before', idle(1.8), proven, { ...yes, respondedBefore: true }],
    [
      'borderline',
      'no response, but one before',
      idle(1.8),
      proven,
      { ...yes, answer: 'no' as const, respondedBefore: true },
    ],
    ['borderline', 'unproven and a response', idle(1.8), unproven, yes],
    ['borderline', 'unproven and no response', idle(1.8), unproven, { ...yes, answer: 'no' as const }],
    ['borderline', 'not closed', idle(1.8), null, null],
    ['fail', 'an idle voltage far off', idle(0.1), null, null],
    ['borderline', 'an idle voltage at the limit', idle(1.65), null, null],
  ] as const)('is %s on %s', (outcome, _, reading, proof, response) => {
    expect(decideBridge(reading, limits, rule, proof, response).outcome).toBe(outcome);
  });

  test('never passes on a closure that is not proven', () => {
    const answers = fc.record({
      answer: fc.constantFrom('yes', 'no', 'unsure'),
      respondedBefore: fc.boolean(),
      delayUs: fc.option(fc.integer({ min: 0, max: 1e6 })),
    });
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.option(answers),
        fc.boolean(),
        (volt, answer, none) => {
          const { outcome } = decideBridge(idle(volt), limits, rule, none ? null : unproven, answer);
          expect(outcome).not.toBe('pass');
        },
      ),
    );
  });
});

describe('the watch on a closure', () => {
  function batch(tUs: number, bits: number, volt = 0, n = 8, lost = 0): ReadingBatch {
    const codes = Uint16Array.from(codesAt(volt, n));
    return { index: 0, tUs, periodUs, range: 0, flags: readingFlags(bits), flagBits: bits, lost, edges: 0, codes };
  }

  test('joins the batches of a closure into one window, and gives it once', () => {
    const watch = new ClosureWatch(true);
    expect(watch.push(batch(0, openBits, 1.8))).toBeNull();
    watch.closed(8_000);
    expect(watch.push(batch(9_000, closedBits))).toBeNull();
    expect(watch.push(batch(9_000 + 8 * periodUs, closedBits | flagBits.over))).toBeNull();
    const seen = watch.opened(30_000, 'timeUp');
    expect(seen).toMatchObject({ closedUs: 8_000, openedUs: 30_000, openedBy: 'timeUp' });
    expect(seen?.windows.map(({ codes }) => codes.length)).toEqual([16]);
    expect(watch.opened(30_000, 'timeUp')).toBeNull();
    expect(watch.push(batch(40_000, openBits))).toBeNull();
  });

  test('begins a new window after a gap', () => {
    const watch = new ClosureWatch(true);
    watch.push(batch(9_000, closedBits));
    watch.push(batch(50_000, closedBits, 0, 8, 3));
    expect(watch.opened(60_000, 'timeUp')?.windows).toHaveLength(2);
  });

  test('leaves readings out in which a tip was not seated', () => {
    const watch = new ClosureWatch(true);
    watch.push(batch(9_000, closedBits & ~flagBits.seatB));
    expect(watch.opened(60_000, 'timeUp')?.windows).toEqual([]);
  });

  test('sees the end without the word of the probe', () => {
    const watch = new ClosureWatch(true);
    watch.push(batch(9_000, closedBits));
    expect(watch.push(batch(20_000, openBits, 1.8))).toMatchObject({ openedBy: 'unseen', openedUs: 20_000 });
  });
});

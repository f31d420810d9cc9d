import { describe, expect, test } from 'vitest';
import { combinationsFor } from '../../src/calibrate/standards/presented-standards.ts';
import { storeInProbe, withCheck } from '../../src/cli/calibration/calibration-store.ts';
import { calibrationFromBlock } from '../../src/measure/reading/calibration-from-block.ts';
import type { Calibration } from '../../src/measure/types.ts';
import { fittedPointsOf, isTaken, pointsOf } from '../../src/session/calibration/calibration-state.ts';
import { emulatedCalibration, resistorOf } from '../support/emulated-calibration.ts';

const ohms = [0.1, 0.47, 1, 4.7, 33, 100, 470, 2200, 10e3, 47e3, 220e3, 1e6, 3.3e6];
const standards = ohms.map(resistorOf);

describe('a session at the emulated probe', { timeout: 60_000 }, () => {
  test('reads every standard at each of its settings in one touch, fits, reads the check resistor, and goes into the probe', async () => {
    let back: Calibration | null = null;
    const { state, prompts } = await emulatedCalibration({
      standards,
      seed: 11,
      async after(link, { fit, check }) {
        await storeInProbe(link, withCheck(fit!, check).block);
        const stored = await link.readCalibration();
        back = stored.state === 'valid' ? calibrationFromBlock(stored.block) : null;
      },
    });
    expect(state.end).toBe('done');
    expect(state.standards.every(isTaken)).toBe(true);
    expect(state.fit).toMatchObject({ verdict: 'good', missing: [] });
    expect(prompts.filter((prompt) => prompt.startsWith('touch'))).toHaveLength(standards.length);
    expect(prompts.slice(0, 3)).toEqual(['short-tips short', 'lift short', 'wait open']);
    // a resistor is read wherever it tells something: both levels, neighbouring ranges
    const of470 = pointsOf(state).filter(({ standard }) => standard.kind === 'resistor' && standard.ohm === 470);
    expect(of470).toHaveLength(combinationsFor(resistorOf(470).standard).length);
    expect(of470.length).toBeGreaterThanOrEqual(4);
    // the board's part is one of 0.1 %, marked 100 ohm
    expect(state.check!.ohm).toBeGreaterThan(99.4);
    expect(state.check!.ohm).toBeLessThan(100.6);
    const held = back as Calibration | null;
    expect(held?.check?.ohm).toBeCloseTo(state.check!.ohm, 4);
    for (const { range, level, rsOhm, nOpen } of state.fit!.calibration!.ranges) {
      const entry = held?.ranges.find((one) => one.range === range && one.level === level);
      // 32-bit floats in the probe
      expect(entry!.rsOhm / rsOhm).toBeCloseTo(1, 6);
      expect(entry!.nOpen / nOpen).toBeCloseTo(1, 6);
    }
  });

  test('asks again for a resistor that is not the one said; if it is meant, the fit names it', async () => {
    const few = [1, 10, 33, 100, 220, 470, 1000, 2200, 4700].map(resistorOf);
    const board = few.map((one) => (one.id === '470 ohm' ? { ...resistorOf(560), id: one.id } : one));
    const { state, seen, prompts } = await emulatedCalibration({ standards: few, board, seed: 13 });
    const told = seen.map(({ state: { message } }) => message).find((message) => message?.isTrouble === true);
    expect(told?.text).toContain('470 ohm');
    expect(prompts.filter((prompt) => prompt === 'touch 470 ohm')).toHaveLength(2);
    expect(state.fit?.verdict).not.toBe('good');
    const outliers = state.fit!.ranges.flatMap((range) => (range.ok ? range.fit.outliers : []));
    const points = fittedPointsOf(state);
    expect(outliers.length).toBeGreaterThan(0);
    for (const { index } of outliers) expect(points[index]!.standard).toMatchObject({ ohm: 470 });
    expect(outliers.map(({ cause, wouldBeOhm }) => [cause, wouldBeOhm])).toContainEqual(['wrong-resistor', 560]);
  });

  test('takes no resistor that was skipped, and makes no calibration of shorted tips alone', async () => {
    const { state } = await emulatedCalibration({
      standards: [resistorOf(470)],
      seed: 14,
      react: (event, now) => (event.type === 'mode-set' && now.at !== 'short' ? { type: 'skip' } : null),
    });
    expect(state.standards.map(({ skipped }) => skipped)).toEqual([false, true, true]);
    expect(state.fit).toBeNull();
    expect(state.check).toBeNull();
  });
});

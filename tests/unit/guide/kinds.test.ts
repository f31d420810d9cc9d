import { describe, expect, test } from 'vitest';
import { predictChecks } from '../../../src/checks/guides.ts';
import { checkKinds } from '../../../src/checks/registry.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { exampleGuide } from '../../support/example-guide.ts';

const recorder = exampleGuide('field-recorder');
const grip = exampleGuide('two-stage-key');

describe('what a check will show', () => {
  const predicted = (guide: Guide, id: string, device: Parameters<typeof predictChecks>[1] = {}) =>
    predictChecks(guide, device).find((one) => one.check === id)!;

  test('a film is far above the normal level when dry', () => {
    const faults = [{ link: 'contact-a', mode: 'film' as const }];
    const { ohm, dryOhm } = predicted(recorder, 'whole', { faults }).predicted;
    expect(dryOhm).toBeGreaterThan(10_000);
    expect(ohm).toBeCloseTo(21.87, 1);
  });

  test('weak and intermittent links make unsteady what they carry, and nothing else', () => {
    for (const mode of ['weak', 'intermittent'] as const) {
      const unsteady = predictChecks(recorder, { faults: [{ link: 'contact-a', mode }] }).filter((one) => one.unsteady);
      expect(unsteady.map((one) => one.check)).toEqual(['whole', 'flexing']);
    }
  });

  test('a small intermittent contact is noticed by what its opening does, in ohms and in volts', () => {
    const unsteady = (link: string, mode: 'weak' | 'intermittent') =>
      predictChecks(recorder, { faults: [{ link, mode }] })
        .filter((one) => one.unsteady)
        .map((one) => one.check);
    // 0.18 ohm of 50 kohm, and of the 47 kohm behind the idle voltage
    expect(unsteady('trace-a', 'intermittent')).toEqual(
      expect.arrayContaining(['spring-a', 'springs-apart', 'whole', 'idle', 'bridge-springs']),
    );
    // beside its twin nothing opens, and a weak contact that carries next to nothing moves no voltage
    expect(unsteady('plug-g1', 'intermittent')).not.toContain('idle');
    expect(unsteady('cell-plug', 'weak')).toEqual([]);
    expect(unsteady('cell-plug', 'intermittent')).toContain('cell');
  });

  test('a stuck key gives no presses to count', () => {
    const faults = [{ link: 'blade-half', mode: 'stuck' as const }];
    expect(predicted(grip, 'half-presses', { faults })).toMatchObject({ insideLimits: false });
    expect(predicted(grip, 'full-presses', { faults })).toMatchObject({ insideLimits: true });
  });

  test('drawn values are read through', () => {
    expect(predicted(recorder, 'key-closed', { linkOhm: { dome: 2.5 } }).predicted.ohm).toBeCloseTo(2.5, 6);
  });

  test('the spread is that of the links, weighed by their shares', () => {
    // half-closed: 0.4 ohm with 30 %, 0.42 and 0.45 ohm with 8 %, in series
    const expected = Math.hypot(0.4 * 0.3, 0.42 * 0.08, 0.45 * 0.08) / 1.27;
    expect(predicted(grip, 'half-closed').spread).toBeCloseTo(expected, 6);
  });
});

test('every kind is in some example', () => {
  const used = new Set([...recorder.checks, ...grip.checks].map((check) => check.kind));
  expect([...used].sort()).toEqual(Object.keys(checkKinds).sort());
});

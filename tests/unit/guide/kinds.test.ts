import { describe, expect, test } from 'vitest';
import type { Act } from '../../../src/checks/kind.ts';
import { checkKindNames, kindOf } from '../../../src/checks/registry.ts';
import { predictChecks } from '../../../src/guide/circuit/predict.ts';
import type { Check, Guide } from '../../../src/guide/types.ts';
import { exampleGuide } from './example-guide.ts';

const recorder = exampleGuide('field-recorder');
const grip = exampleGuide('two-stage-key');

const actsOf = (guide: Guide, id: string): Act[] => {
  const check = guide.checks.find((one) => one.id === id) as Check;
  return kindOf(check).acts(check);
};

describe('what a check asks of the hands, in order', () => {
  test('a touch with a key held: open, power, hold, touch', () => {
    expect(actsOf(recorder, 'whole')).toEqual([
      { act: 'open', access: 'back-off' },
      { act: 'power', power: 'off' },
      { act: 'hold', keys: ['record'] },
      { act: 'touch', pads: ['M1', 'M2'] },
    ]);
  });

  test('a voltage, a look, presses', () => {
    expect(actsOf(recorder, 'idle').map((one) => one.act)).toEqual(['open', 'power', 'touch']);
    expect(actsOf(recorder, 'look-pads').at(-1)).toMatchObject({ act: 'answer' });
    expect(actsOf(grip, 'full-presses').slice(-2)).toEqual([
      { act: 'touch', pads: ['T1', 'T3'] },
      { act: 'press', key: 'full', count: 15 },
    ]);
  });
});

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
  expect([...used].sort()).toEqual([...checkKindNames].sort());
});

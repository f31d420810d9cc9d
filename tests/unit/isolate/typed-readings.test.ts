// What readings typed by hand say of the field recorder.
import { expect, test } from 'vitest';
import { typedEvidence } from '../../../src/cli/guides/typed-evidence.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { conclude } from '../../../src/isolate/next/stopping.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { exampleGuide } from '../../support/example-guide.ts';

const guide = exampleGuide('field-recorder');
const model = openModel(guide);

function told(reading: string) {
  const belief = believe(model, typedEvidence(guide, [reading], []));
  if ('code' in belief) throw new Error(belief.code);
  const done = belief.evidence.map(({ check }) => check);
  return { belief, conclusion: conclude(model, belief, { power: null, access: undefined, done }) };
}

test('50 mohm of ground, where 200 mohm are right, accuse nobody', () => {
  const { belief, conclusion } = told('ground=50mohm');
  expect(conclusion.kind).toBe('open');
  expect(belief.decisions[0]!.p).toBeLessThan(0.5);
  const none = belief.suspects.find(({ id }) => id === 'none')!;
  expect(none.p).toBeGreaterThanOrEqual(none.prior);
});

test('300 kohm of the left spring, a leaky open, speak for the board that it is on and are explained by it', () => {
  const { belief, conclusion } = told('spring-a=300kohm');
  // a pad under lacquer would read the same, and is wiped first
  const parts = belief.decisions.filter(({ units }) => units.length > 0);
  expect(parts[0]!.id).toBe('jack-board');
  expect(belief).toMatchObject({ unexplained: [], doubt: null });
  expect(conclusion.kind).toBe('open');
});

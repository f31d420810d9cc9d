import { expect, test } from 'vitest';
import { SessionModel } from './session-model.ts';

/** `OHMWRIGHT_MODEL_STEPS=1000000` is the whole of it. */
const steps = Number(process.env.OHMWRIGHT_MODEL_STEPS ?? 10_000);
const seed = Number(process.env.OHMWRIGHT_SEED ?? 1);

test('whatever happens at the bench: no pass of nothing, nothing told is lost, each record verifies', {
  timeout: 60_000 + steps * 20,
}, async () => {
  const met = await new SessionModel(seed).run(steps);
  if (process.env.OHMWRIGHT_MODEL_STEPS !== undefined) process.stdout.write(`${JSON.stringify(met)}\n`);
  // it went everywhere that it is to go
  expect(Math.min(...Object.values(met))).toBeGreaterThan(0);
});

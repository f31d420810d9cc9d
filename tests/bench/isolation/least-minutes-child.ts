// One part of the small guides: COUNT, SEED, and which part of how many. Prints the minutes of the policy and the least ones, one JSON line each.
import { randomOf } from '../../../sim/random.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { openBench } from '../../../src/isolate/next/next-check.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { leastMinutesOf, policyMinutes } from '../../support/isolate/exact-policy.ts';
import { smallGuideOf } from './small-guides.ts';

const [count, seed, part, parts] = process.argv.slice(2).map(Number) as [number, number, number, number];
for (let number = part; number < count; number += parts) {
  const guide = smallGuideOf(randomOf(seed * 1_000_003 + number, 'least minutes'));
  const model = openModel(guide);
  const belief = believe(model, []);
  if ('code' in belief) throw new Error(belief.what);
  const { bench, weights } = openBench(model, belief);
  if (weights === null) throw new Error(`guide ${number} has no suspect`);
  const checks = guide.checks.map((_, check) => check);
  const standing = { power: 'off', access: null } as const;
  const least = leastMinutesOf(bench, weights, standing, checks);
  const { minutes, checks: steps } = policyMinutes(bench, weights, standing, checks);
  process.stdout.write(`${JSON.stringify({ number, least, minutes, steps })}\n`);
}

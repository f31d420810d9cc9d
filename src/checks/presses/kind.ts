import { resistanceProblems } from '../circuit-reading.ts';
import { idleDwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { pressesEvidence } from './evidence.ts';
import { judgePresses } from './judge.ts';
import { predictPresses } from './prediction.ts';
import { pressesSchema } from './schema.ts';
import { typedPresses } from './typed.ts';

/**
 * A key pressed again and again while the tips stay on: each closure's ohms and bounce, and the
 * presses that missed.
 */
export const pressesKind = {
  name: 'presses',
  schema: pressesSchema,
  predict: predictPresses,
  limits: ({ limits }) => limits,
  asked({ limits, count, maxBad, maxBounceMs }, rule) {
    const maxBounceUs = maxBounceMs === undefined ? null : maxBounceMs * 1000;
    return { limits, rule, count, maxBad, maxBounceUs };
  },
  judge: judgePresses,
  evidence: pressesEvidence,
  typed: typedPresses,
  problems(_guide, check) {
    const problems = [...resistanceProblems(check), ...idleDwellProblems(check)];
    if (check.maxBad >= check.count) {
      const args = { maxBad: String(check.maxBad), count: String(check.count) };
      problems.push({ severity: 'error', code: 'presses.all-may-be-bad', at: ['maxBad'], args });
    }
    return problems;
  },
} satisfies WholeKind<'presses'>;

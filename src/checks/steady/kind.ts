import { judgedBy } from '../asked.ts';
import { resistanceProblems } from '../circuit-reading.ts';
import { dwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { typedReading } from '../typed.ts';
import { steadyEvidence } from './evidence.ts';
import { judgeSteady } from './judge.ts';
import { predictSteady } from './prediction.ts';
import { steadySchema } from './schema.ts';

/**
 * Ohms that must stay while the technician flexes and taps: what comes and goes drops out or
 * wanders.
 */
export const steadyKind = {
  name: 'steady',
  schema: steadySchema,
  predict: predictSteady,
  limits: ({ limits }) => limits,
  asked(check, rule) {
    const { level, holdMs, maxDropOuts, maxWander } = check;
    return { ...judgedBy(check, rule), level, holdMs, maxDropOuts, maxWander };
  },
  judge: judgeSteady,
  evidence: steadyEvidence,
  typed: typedReading('steady', '0.3ohm'),
  problems: (_guide, check) => [...resistanceProblems(check), ...dwellProblems(check)],
} satisfies WholeKind<'steady'>;

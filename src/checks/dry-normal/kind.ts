import { judgedBy } from '../asked.ts';
import { resistanceProblems } from '../circuit-reading.ts';
import { dwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { dryNormalEvidence } from './evidence.ts';
import { judgeDryNormal } from './judge.ts';
import { predictDryNormal } from './prediction.ts';
import { dryNormalSchema } from './schema.ts';
import { typedDryNormal } from './typed.ts';

/**
 * Ohms of one touch, first at the dry level and then at the normal one: a film that the normal
 * level breaks shows in the first only.
 */
export const dryNormalKind = {
  name: 'dry-normal',
  schema: dryNormalSchema,
  predict: predictDryNormal,
  limits: ({ limits }) => limits,
  asked: (check, rule) => ({ ...judgedBy(check, rule), factor: check.factor }),
  judge: judgeDryNormal,
  evidence: dryNormalEvidence,
  typed: typedDryNormal,
  problems: (_guide, check) => [...resistanceProblems(check), ...dwellProblems(check)],
} satisfies WholeKind<'dry-normal'>;

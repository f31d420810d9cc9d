import { idleDwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { lookEvidence } from './evidence.ts';
import { judgeLook } from './judge.ts';
import { predictLook } from './prediction.ts';
import { lookSchema } from './schema.ts';
import { typedLook } from './typed.ts';

/** What only eyes can see: a question that a person answers. */
export const lookKind = {
  name: 'look',
  schema: lookSchema,
  predict: predictLook,
  limits: () => null,
  asked: ({ question, passAnswer }) => ({ question, passAnswer }),
  judge: judgeLook,
  evidence: lookEvidence,
  typed: typedLook,
  problems(_guide, check) {
    const problems = idleDwellProblems(check);
    if (check.sees.length === 0) problems.push({ severity: 'warning', code: 'look.sees-nothing', at: [], args: {} });
    return problems;
  },
} satisfies WholeKind<'look'>;

import { judgedBy } from '../asked.ts';
import { resistanceProblems } from '../circuit-reading.ts';
import { dwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { typedReading } from '../typed.ts';
import { resistanceEvidence } from './evidence.ts';
import { judgeResistance } from './judge.ts';
import { predictResistance } from './prediction.ts';
import { resistanceSchema } from './schema.ts';

/** Ohms between two pads of the switched-off device. */
export const resistanceKind = {
  name: 'resistance',
  schema: resistanceSchema,
  predict: predictResistance,
  limits: ({ limits }) => limits,
  asked: (check, rule) => ({ quantity: 'resistance', ...judgedBy(check, rule), level: check.level }),
  judge: judgeResistance,
  evidence: resistanceEvidence,
  typed: typedReading('resistance', '0.3ohm'),
  problems: (_guide, check) => [...resistanceProblems(check), ...dwellProblems(check)],
} satisfies WholeKind<'resistance'>;

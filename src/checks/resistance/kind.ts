import { judgedBy } from '../asked.ts';
import { resistanceProblems } from '../circuit-reading.ts';
import { dwellProblems } from '../common-fields.ts';
import { judgeReading } from '../judge-reading.ts';
import type { WholeKind } from '../kind.ts';
import { readingEvidence, type TouchAttempt } from '../reading-evidence.ts';
import { predictResistance } from './prediction.ts';
import { resistanceSchema } from './schema.ts';

/** Ohms between two pads of the switched-off device. */
export const resistanceKind = {
  name: 'resistance',
  schema: resistanceSchema,
  predict: predictResistance,
  limits: ({ limits }) => limits,
  asked: (check, rule) => ({ quantity: 'resistance', ...judgedBy(check, rule), level: check.level }),
  judge: judgeReading,
  evidence: (attempt: TouchAttempt) => readingEvidence('resistance', attempt),
  problems: (_guide, check) => [...resistanceProblems(check), ...dwellProblems(check)],
} satisfies WholeKind<'resistance'>;

import { judgedBy } from '../asked.ts';
import { voltageProblems } from '../circuit-reading.ts';
import { dwellProblems } from '../common-fields.ts';
import type { WholeKind } from '../kind.ts';
import { typedReading } from '../typed.ts';
import { voltageEvidence } from './evidence.ts';
import { judgeVoltage } from './judge.ts';
import { predictVoltage } from './prediction.ts';
import { voltageSchema } from './schema.ts';

/** Volts of tip A over tip B, with the probe's own resistance between them. */
export const voltageKind = {
  name: 'voltage',
  schema: voltageSchema,
  predict: predictVoltage,
  limits: ({ limits }) => limits,
  asked: (check, rule) => ({ quantity: 'voltage', ...judgedBy(check, rule), level: 'normal' }),
  judge: judgeVoltage,
  evidence: voltageEvidence,
  typed: typedReading('voltage', '1.8V'),
  problems: (_guide, check) => [...voltageProblems(check.limits), ...dwellProblems(check)],
} satisfies WholeKind<'voltage'>;

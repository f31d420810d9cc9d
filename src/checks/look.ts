import { z } from 'zod';
import type { CheckKind } from '../guide/check-kind.ts';
import { pads, seenFault, text } from '../guide/file/fields.ts';
import type { LookCheck } from '../guide/types.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** What only eyes can see: a question that a person answers. */
export const lookKind = {
  name: 'look',
  schema: z
    .strictObject({
      kind: z.literal('look'),
      ...commonFields,
      pads: pads.optional(),
      question: text,
      passAnswer: z.enum(['yes', 'no'], { error: 'answer.form' }),
      sees: z.array(seenFault).default([]),
    })
    .transform(withDwellMs),
  predict(_guide, check, _solve, faults) {
    const seen = check.sees.some(({ link, mode }) =>
      faults.some((fault) => fault.link === link && fault.mode === mode),
    );
    const other = check.passAnswer === 'yes' ? 'no' : 'yes';
    return {
      check: check.id,
      kind: check.kind,
      predicted: { answer: seen ? other : check.passAnswer },
      insideLimits: !seen,
      unsteady: false,
      spread: 0,
    };
  },
  problems: (_guide, check) =>
    check.sees.length > 0 ? [] : [{ severity: 'warning', code: 'look.sees-nothing', at: [], args: {} }],
} satisfies CheckKind<LookCheck>;

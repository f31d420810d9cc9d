import { type TypedKind, typedAnswer } from '../typed.ts';

/** What the device did, and whether the closure was proven. */
export const typedBridge: TypedKind<'bridge'> = {
  by: 'observed',
  example: 'yes',
  read({ id }, text) {
    const at = { check: id, kind: 'bridge', idle: null } as const;
    if (text.toLowerCase() === 'unproven') return { ...at, proven: false, answer: 'unsure' };
    const answer = typedAnswer(text);
    return answer === undefined
      ? 'Write yes or no (the closure was proven to conduct, and the device answered or not), unsure, or unproven.'
      : { ...at, proven: true, answer };
  },
};

import { type TypedKind, typedAnswer } from '../typed.ts';

/** What a person saw. */
export const typedLook: TypedKind<'look'> = {
  by: 'observed',
  example: 'yes',
  read({ id }, text) {
    const answer = typedAnswer(text);
    return answer === undefined ? 'Write yes, no or unsure.' : { check: id, kind: 'look', answer };
  },
};

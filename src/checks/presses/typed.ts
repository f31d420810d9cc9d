import { type TypedKind, typedNumber } from '../typed.ts';

/** The closed resistance, and how many presses were bad. */
export const typedPresses: TypedKind<'presses'> = {
  by: 'reading',
  example: '1.2ohm,3bad',
  read({ id, count }, text) {
    const match = /^(.*?)(?:\s*,\s*(\d+)\s*bad)?$/.exec(text)!;
    const closed = typedNumber(match[1]!, 'ohm');
    if (closed === undefined) return `Write the closed resistance and how many were bad, as ${id}=1.2ohm,3bad.`;
    const none = closed.state === 'above-range';
    const bad = none ? count : Number(match[2] ?? 0);
    if (bad > count) return `The check has ${count} presses.`;
    return { check: id, kind: 'presses', closed: none ? null : closed, bad, count };
  },
};

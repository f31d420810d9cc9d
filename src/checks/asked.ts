import type { Check, Limits, Rule } from '../guide/types.ts';

/**
 * What a guide settles of an attempt at a check: fields that stand in its entry as the guide has
 * them.
 */
export type Asked = Record<string, Limits | Rule | string | number | null>;

/** Returns what a guide settles of every measurement with limits. */
export function judgedBy({ limits, power }: Pick<Check, 'power'> & { limits: Limits }, rule: Rule) {
  return { limits, rule, power };
}

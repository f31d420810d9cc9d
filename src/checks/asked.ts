import type { Check, Guide, Limits, Rule } from '../guide/types.ts';

/** What a guide settles of an attempt at a check: the kind of its entry, and fields that stand in it as the guide has them. */
export type Asked = { kind: 'capture' | 'presses' | 'observation' | 'bridge' | 'levels' | 'steady' } & Record<
  string,
  Limits | Rule | string | number | null
>;

/** Returns what a guide settles of every attempt at one of its checks. */
export function askedBy({ rule }: Pick<Guide, 'rule'>, check: Check): Asked {
  switch (check.kind) {
    case 'resistance':
      return { kind: 'capture', quantity: 'resistance', ...judgedBy(check, rule), level: check.level };
    case 'voltage':
      return { kind: 'capture', quantity: 'voltage', ...judgedBy(check, rule), level: 'normal' };
    case 'look':
      return { kind: 'observation', question: check.question, passAnswer: check.passAnswer };
    case 'presses': {
      const { limits, count, maxBad, maxBounceMs } = check;
      const maxBounceUs = maxBounceMs === undefined ? null : maxBounceMs * 1000;
      return { kind: 'presses', limits, rule, count, maxBad, maxBounceUs };
    }
    case 'bridge': {
      const { power, idle, durationMs, collapse, input, question, withinMs } = check;
      return { kind: 'bridge', limits: idle, rule, power, durationMs, collapse, input, question, withinMs };
    }
    case 'dry-normal':
      return { kind: 'levels', ...judgedBy(check, rule), factor: check.factor };
    case 'steady': {
      const { level, holdMs, maxDropOuts, maxWander } = check;
      return { kind: 'steady', ...judgedBy(check, rule), level, holdMs, maxDropOuts, maxWander };
    }
  }
}

function judgedBy({ limits, power }: Pick<Check, 'power'> & { limits: Limits }, rule: Rule) {
  return { limits, rule, power };
}

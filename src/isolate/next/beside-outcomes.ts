import type { Outcome } from '../../measure/types.ts';
import { noRepairs } from '../repair/repair-plan.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { nothingWrong } from '../suspects/suspects.ts';
import type { Conclusion } from '../types.ts';

/**
 * Returns a conclusion as it stands beside the outcomes: where nothing but passes came out, no
 * check left tells more, and that nothing is wrong is likeliest, no fault was found, and nothing is
 * to be repaired; what the guide can't tell from that stays in its decisions.
 *
 * @param outcomes of every check as it stands, and of the unsteady touches before it that count
 */
export function besideOutcomes<Concluded extends Omit<Conclusion, 'reasons'>>(
  conclusion: Concluded,
  outcomes: readonly Outcome[],
  rules: IsolationRules,
): Concluded {
  if (rules.verdict.isCapped) return capped(conclusion, outcomes);
  const isNone = conclusion.kind === 'group' && conclusion.decisions[0]?.id === nothingWrong;
  if (!isNone || outcomes.some((outcome) => outcome !== 'pass')) return conclusion;
  return { ...conclusion, kind: 'none', plan: noRepairs };
}

/**
 * Where all that was done passed no fault is found, whatever numbers say; what is likely stays in
 * the decisions.
 */
function capped<Concluded extends Omit<Conclusion, 'reasons'>>(
  conclusion: Concluded,
  outcomes: readonly Outcome[],
): Concluded {
  if (conclusion.kind === 'open' || outcomes.length === 0) return conclusion;
  if (outcomes.some((outcome) => outcome !== 'pass')) return conclusion;
  return { ...conclusion, kind: 'none', plan: noRepairs, isWhole: null };
}

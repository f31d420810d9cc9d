import { proofBounds, proofRule } from '../../measure/judge/proof-bounds.ts';
import { withRemark } from '../../measure/reading/calibration-remark.ts';
import type { ProofKind, ProofWhen } from '../../record/entries/entries.ts';
import { captureOf, storedBudget } from './kinds/evidence-parts.ts';
import { judgeTouch } from './reading-record.ts';
import type { TouchPlan } from './touch.ts';

/**
 * Returns how a proof is measured: tips held together by hand, or the built-in check resistor
 * without any hand.
 */
export function proofPlan(when: ProofWhen, what: ProofKind): TouchPlan {
  const byHand = what === 'shorted-tips';
  return {
    byHand,
    power: () => null,
    mode: () => ({ mode: 'resistance', level: 'normal', input: byHand ? 'tips' : 'check' }),
    prompt: () => (byHand ? { act: 'short-tips' } : { act: 'wait', why: 'check-resistor' }),
    entry: (step, result) => {
      const { calibration } = step.state.probe!;
      const expected = proofBounds(what, calibration);
      const limits = { quantity: 'resistance', ...expected } as const;
      const judged = judgeTouch('resistance', result, { calibration, limits, rule: proofRule });
      return {
        kind: 'proof',
        when,
        what,
        capture: captureOf(step, result.settled),
        reading: storedBudget(judged.reading),
        expected,
        rule: proofRule,
        outcome: judged.outcome,
        why: withRemark(judged.why, calibration, judged.reading),
      };
    },
    again: (step, outcome) => outcome !== 'pass' && step.state.tries < step.state.settings.attemptsMax,
  };
}

import { proofBounds, proofRule } from '../../measure/judge/proof-bounds.ts';
import { withRemark } from '../../measure/reading/calibration-remark.ts';
import type { ProofKind, ProofWhen } from '../../record/entries/entries.ts';
import { captureOf, judge, storedBudget } from './measured.ts';
import type { TouchPlan } from './touch.ts';

/** Returns how a proof is measured: tips held together by hand, or the built-in check resistor without any hand. */
export function proofPlan(when: ProofWhen, what: ProofKind): TouchPlan {
  const byHand = what === 'shorted-tips';
  return {
    byHand,
    power: () => null,
    mode: () => ({ mode: 'resistance', level: 'normal', input: byHand ? 'tips' : 'check' }),
    prompt: () =>
      byHand
        ? { act: 'short-tips', text: 'Prove the probe: hold the two tips together.' }
        : {
            act: 'wait',
            text: 'Prove the probe: it measures its built-in check resistor; keep the tips off everything.',
          },
    entry: (turn, result) => {
      const expected = proofBounds(what, turn.state.probe!.calibration);
      const judged = judge(result, turn.state.probe!.calibration, { quantity: 'resistance', ...expected }, proofRule);
      return {
        kind: 'proof',
        when,
        what,
        capture: captureOf(turn, result),
        reading: storedBudget(judged.reading),
        expected,
        rule: proofRule,
        outcome: judged.outcome,
        why: withRemark(judged.why, turn.state.probe!.calibration, judged.reading),
      };
    },
    again: (turn, outcome) => outcome !== 'pass' && turn.state.tries < turn.state.settings.attemptsMax,
  };
}

import { withRemark } from '../../measure/reading/calibration-remark.ts';
import { expectedUncertainty } from '../../measure/reading/expected-uncertainty.ts';
import type { Calibration } from '../../measure/types.ts';
import { frontEndTable } from '../../protocol/table.ts';
import type { ProofKind, ProofWhen } from '../../record/entries/entries.ts';
import { captureOf, judge, storedBudget } from './measured.ts';
import type { TouchPlan } from './touch.ts';

/** Share of the check resistor's value that a proved probe may be off by, where the calibration does not know that resistor. */
const checkResistorShare = 0.05;
/** Highest reading of tips held together, in ohm, without a calibration: leads and tip residue of a four-wire probe stay well below. */
const shortedMaxOhm = 0.15;
/**
 * Bounds against a calibration lie this many standard uncertainties from what is expected. The rule takes two of them as its guard band,
 * so a sound probe passes unless it is off by three.
 */
const boundsAt = 5;

/** Tips that a hand holds together touch with their sides too: what that leaves, standard uncertainty in ohm; common practice, no source. */
const uTogetherOhm = 0.0015;

/** Returns the bounds that a proof has to meet under a calibration, in ohm. */
export function proofBounds(what: ProofKind, calibration: Calibration): { min: number; max: number } {
  const calibrated = calibration.source !== 'nominal';
  if (what === 'shorted-tips') {
    const reach = calibrated ? boundsAt * Math.hypot(expectedUncertainty(0, calibration), uTogetherOhm) : shortedMaxOhm;
    return { min: -reach, max: reach };
  }
  const { check } = calibration;
  if (!calibrated || check === undefined) {
    const nominal = frontEndTable.checkResistorOhm;
    return { min: nominal * (1 - checkResistorShare), max: nominal * (1 + checkResistorShare) };
  }
  const reach = boundsAt * Math.hypot(expectedUncertainty(check.ohm, calibration), check.uOhm);
  return { min: check.ohm - reach, max: check.ohm + reach };
}

const proofRule = { name: 'guarded', p: 0.975 } as const;

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

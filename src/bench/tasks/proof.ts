import type { ProofKind, ProofWhen } from '../../job/entries.ts';
import { frontEndTable } from '../../protocol/table.ts';
import { captureOf, judge, storedReading } from './measured.ts';
import type { TouchPlan } from './touch.ts';

/** Share of the check resistor's value that a proved probe may be off by, with a calibration made from nominal parts. */
const checkResistorShare = 0.05;
/** Highest reading of tips held together, in ohm: leads and tip residue of a four-wire probe stay well below. */
const shortedMaxOhm = 0.15;

/** Returns the bounds that a proof has to meet, in ohm. */
export function proofBounds(what: ProofKind): { min: number; max: number } {
  if (what === 'shorted-tips') return { min: -shortedMaxOhm, max: shortedMaxOhm };
  const nominal = frontEndTable.checkResistorOhm;
  return { min: nominal * (1 - checkResistorShare), max: nominal * (1 + checkResistorShare) };
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
      const expected = proofBounds(what);
      const judged = judge(result, turn.state.probe!.calibration, { quantity: 'resistance', ...expected }, proofRule);
      return {
        kind: 'proof',
        when,
        what,
        capture: captureOf(turn, result),
        reading: storedReading(judged.reading),
        expected,
        rule: proofRule,
        outcome: judged.outcome,
        why: judged.why,
      };
    },
    again: (turn, outcome) => outcome !== 'pass' && turn.state.tries < turn.state.settings.attemptsMax,
  };
}

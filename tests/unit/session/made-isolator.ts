import type { Belief, Conclusion, DecisionOption, RepairPlan, Situation } from '../../../src/isolate/types.ts';
import type { JobState } from '../../../src/record/state/job-state.ts';
import type { Isolator } from '../../../src/session/job/isolator.ts';

const key: DecisionOption = { id: 'key', name: 'key unit', units: ['key'] };
const none: DecisionOption = { id: 'none', name: 'nothing is wrong', units: [] };

/** A belief made by hand: so sure that the key unit is at fault. */
function beliefOf(p: number): Belief {
  const fault = { id: 'path=open', faults: [{ link: 'path', mode: 'open' as const }], decision: 'key', prior: 0.5 };
  const nothing = { id: 'none', faults: [], decision: 'none', prior: 0.5 };
  const both = [
    { suspect: { ...fault, p }, decision: { ...key, p } },
    { suspect: { ...nothing, p: 1 - p }, decision: { ...none, p: 1 - p } },
  ].sort((a, b) => b.suspect.p - a.suspect.p);
  return {
    suspects: both.map(({ suspect }) => suspect),
    decisions: both.map(({ decision }) => decision),
    evidence: [],
    bits: 0.3,
    doubt: null,
  };
}

const plan: RepairPlan = {
  steps: [{ repair: 'fit', name: 'fit a new key unit', p: 0.9, price: 5, minutes: 5, fixes: ['path=open'] }],
  expectedPrice: 5,
  expectedMinutes: 5,
  left: 0.1,
  usual: null,
};
const noPlan: RepairPlan = { ...plan, steps: [], expectedPrice: 0, expectedMinutes: 0, left: 1 };

/** An isolator made by hand: a fail accuses the key unit, checks come in the order given, those left out are never proposed. */
export function madeIsolator(order: string[] = [], wanted = order.length) {
  const asked: Situation[] = [];
  const accused = (job: JobState): boolean => Object.values(job.checks).some(({ outcome }) => outcome === 'fail');
  const isolator: Isolator = {
    believe: (job) => beliefOf(accused(job) ? 0.97 : 0.02),
    next(job, _belief, situation) {
      asked.push(situation);
      const done = order.filter((id) => situation.done.includes(id)).length;
      const check = order.find((id) => !situation.done.includes(id));
      if (check === undefined || done >= wanted || accused(job) || job.repairs.length > 0) return null;
      return { check, bits: 0.5, minutes: 2, because: `it parts ${check} from the rest` };
    },
    conclude(job, belief): Conclusion {
      const leading = belief.decisions[0]!;
      const notTested = Object.values(job.checks)
        .filter(({ attempts }) => attempts.length === 0)
        .map(({ id }) => id);
      return {
        kind: leading.id === 'none' ? 'none' : 'fault',
        decisions: [leading],
        reasons: ['the path between P and Q is open'],
        plan: leading.id === 'none' ? noPlan : plan,
        notTested,
        isWhole: null,
        beyond: null,
      };
    },
  };
  return { isolator, asked };
}

import type { Conclusion } from '../../isolate/types.ts';
import type { NewEntry } from '../../record/entries/entries.ts';
import { evidenceByRepair } from '../../record/state/course.ts';
import type { BenchEvent, BenchState, By } from '../job/job-session-state.ts';
import { believeAnew, isMended, situationOf } from '../job/next-check-planning.ts';
import type { Turn } from '../job/transition.ts';
import type { TaskHandler } from './handler.ts';

/**
 * What the checks came to: put on record with its reasons, then a person (or an option) chooses a repair or none; a repair that was
 * done goes on record too, and the checks are done again.
 */
export const conclusionTask: TaskHandler = {
  start(turn) {
    turn.restart();
    if (turn.state.insight === null) believeAnew(turn);
    const { insight, isolator, job } = turn.state;
    if (insight === null || isolator === null) {
      // nothing can be told apart: the job ends as its checks stand
      const belief = isolator?.believe(job);
      if (belief !== undefined && 'what' in belief)
        turn.append({ kind: 'note', text: `No conclusion: ${belief.what}` });
      turn.run.stage = 'done';
      return;
    }
    if (job.concluded !== null) {
      offer(turn);
      return;
    }
    turn.run.stage = 'recording';
    const conclusion = isolator.conclude(job, insight.belief, situationOf(turn.state));
    turn.append(concludedEntry(turn.state, conclusion));
  },
  on(turn, event) {
    switch (event.type) {
      case 'appended':
        return onAppended(turn, event);
      case 'choose':
        return onChosen(turn, event);
      case 'answer':
        return onAnswered(turn, event);
      default:
        return false;
    }
  },
};

/** Repairs by an option go on no longer than this in all, and with one of them: beyond, a person has to think. */
const mostByOption = 5;
const mostOfOneByOption = 2;

/** Asks what is to be done about it; true when there is nothing to ask. */
function offer(turn: Turn): boolean {
  const { state, run } = turn;
  const { concluded, repairs } = state.job;
  const first = concluded?.plan.steps[0];
  const isNothing =
    concluded === null ||
    concluded.conclusion === 'none' ||
    isMended(state) ||
    (concluded.conclusion !== 'fault' && !hasTrouble(state));
  if (isNothing || state.settings.repair === 'none' || (first === undefined && state.guide.repairs.length === 0)) {
    run.stage = 'done';
    return true;
  }
  run.stage = 'asking';
  if (state.settings.repair === 'first') {
    const before = repairs.filter(({ repair }) => repair !== null && repair === first?.repair).length;
    if (first === undefined || repairs.length >= mostByOption || before >= mostOfOneByOption) {
      run.stage = 'done';
      return true;
    }
    askToRepair(turn, first.repair);
    return false;
  }
  turn.prompt({
    act: 'choose',
    options: concluded.plan.steps.map(({ repair }) => repair),
  });
  return false;
}

function askToRepair(turn: Turn, repair: string): void {
  turn.run.repair = repair;
  turn.prompt({
    act: 'repair',
    repair,
  });
}

function onChosen(turn: Turn, event: Extract<BenchEvent, { type: 'choose' }>): boolean {
  const { run, state } = turn;
  if (run.stage !== 'asking' || run.prompt?.act !== 'choose') return false;
  if (event.repair === null) {
    run.stage = 'done';
    return true;
  }
  if (state.guide.repairs.some(({ id }) => id === event.repair)) askToRepair(turn, event.repair);
  return false;
}

function onAnswered(turn: Turn, event: Extract<BenchEvent, { type: 'answer' }>): boolean {
  const { run, state } = turn;
  if (run.stage !== 'asking' || run.prompt?.act !== 'repair' || event.prompt !== run.prompt.id) return false;
  if (event.answer === 'yes' && run.repair !== null) {
    run.stage = 'recording';
    turn.append(repairEntry(state, run.repair, event.by));
    return false;
  }
  if (state.settings.repair === 'first') {
    run.stage = 'done';
    return true;
  }
  return offer(turn);
}

function onAppended(turn: Turn, { entry }: Extract<BenchEvent, { type: 'appended' }>): boolean {
  if (turn.run.stage !== 'recording') return false;
  if (entry.kind === 'concluded') return offer(turn);
  if (entry.kind !== 'repair') return false;
  turn.run.stage = 'done';
  return true;
}

/** Something stands at other than a pass: a reason to think of a repair. */
function hasTrouble({ job }: BenchState): boolean {
  return Object.values(job.checks).some(({ outcome }) => outcome !== null && outcome !== 'pass');
}

function repairEntry({ guide }: BenchState, repair: string, by: By): NewEntry {
  const text = guide.repairs.find(({ id }) => id === repair)?.name ?? repair;
  return { kind: 'repair', what: 'repair', repair, unit: null, text, by };
}

function concludedEntry(state: BenchState, conclusion: Conclusion): NewEntry {
  const { guide, job, insight } = state;
  const { kind, decisions, plan, notTested, beyond } = conclusion;
  // what spoke against the device before the repair is no reason for what holds now
  const reasons = isMended(state)
    ? [`${job.repairs.at(-1)?.text}: everything that was checked before it passes now.`]
    : conclusion.reasons;
  const { steps, expectedPrice, expectedMinutes, left, usual } = plan;
  return {
    kind: 'concluded',
    conclusion: kind,
    decisions: decisions.map(({ id, name, p }) => ({ id, name, p })),
    reasons: [...reasons],
    doubt: isMended(state) ? null : (insight?.belief.doubt ?? null),
    plan: {
      steps: steps.map(({ repair, name, p, price, minutes }) => ({ repair, name, p, price, minutes })),
      expectedPrice,
      expectedMinutes,
      left,
      usual: usual === null ? null : { ...usual },
      currency: guide.currency,
    },
    notTested: [...notTested],
    beyond,
    evidence: evidenceByRepair(job)
      .flat()
      .map(({ n }) => n),
  };
}

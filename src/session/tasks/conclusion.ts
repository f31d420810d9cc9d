import type { Conclusion } from '../../isolate/types.ts';
import type { NewEntry } from '../../record/entries/entries.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { evidenceByRepair } from '../../record/state/evidence-history.ts';
import type { By, JobSessionEvent, JobSessionState } from '../job/job-session-state.ts';
import type { JobStep } from '../job/job-step.ts';
import { believeAnew, isMended, situationOf } from '../job/next-check-planning.ts';
import type { TaskHandler } from './handler.ts';

/**
 * What the checks came to: put on record with its reasons, then a person (or an option) chooses a
 * repair or none; a repair that was done goes on record too, and the checks are done again.
 */
export const conclusionTask: TaskHandler = {
  start(step) {
    step.restart();
    if (step.state.insight === null) believeAnew(step);
    const { insight, isolator, job } = step.state;
    if (insight === null || isolator === null) {
      // nothing can be told apart: the job ends as its checks stand
      const belief = isolator?.believe(job);
      if (belief !== undefined && 'what' in belief)
        step.append({ kind: 'note', text: `No conclusion: ${belief.what}` });
      step.run.stage = 'done';
      return;
    }
    if (job.concluded !== null) {
      offer(step);
      return;
    }
    step.run.stage = 'recording';
    const conclusion = isolator.conclude(job, insight.belief, situationOf(step.state));
    step.append(concludedEntry(step.state, conclusion));
  },
  on(step, event) {
    switch (event.type) {
      case 'appended':
        return onAppended(step, event);
      case 'choose':
        return onChosen(step, event);
      case 'answer':
        return onAnswered(step, event);
      default:
        return false;
    }
  },
};

/**
 * Repairs by an option go on no longer than this in all, and with one of them: beyond, a person has
 * to think.
 */
const mostByOption = 5;
const mostOfOneByOption = 2;

/** Asks what is to be done about it; true when there is nothing to ask. */
function offer(step: JobStep): boolean {
  const { state, run } = step;
  const { concluded } = state.job;
  const repairs = repairsNow(state.job);
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
    askToRepair(step, first.repair);
    return false;
  }
  step.prompt({
    act: 'choose',
    options: concluded.plan.steps.map(({ repair }) => repair),
  });
  return false;
}

function askToRepair(step: JobStep, repair: string): void {
  step.run.repair = repair;
  step.prompt({
    act: 'repair',
    repair,
  });
}

function onChosen(step: JobStep, event: Extract<JobSessionEvent, { type: 'choose' }>): boolean {
  const { run, state } = step;
  if (run.stage !== 'asking' || run.prompt?.act !== 'choose') return false;
  if (event.repair === null) {
    run.stage = 'done';
    return true;
  }
  if (state.guide.repairs.some(({ id }) => id === event.repair)) askToRepair(step, event.repair);
  return false;
}

function onAnswered(step: JobStep, event: Extract<JobSessionEvent, { type: 'answer' }>): boolean {
  const { run, state } = step;
  if (run.stage !== 'asking' || run.prompt?.act !== 'repair' || event.prompt !== run.prompt.id) return false;
  if (event.answer === 'yes' && run.repair !== null) {
    run.stage = 'recording';
    step.append(repairEntry(state, run.repair, event.by));
    return false;
  }
  if (state.settings.repair === 'first') {
    run.stage = 'done';
    return true;
  }
  return offer(step);
}

function onAppended(step: JobStep, { entry }: Extract<JobSessionEvent, { type: 'appended' }>): boolean {
  if (step.run.stage !== 'recording') return false;
  if (entry.kind === 'concluded') return offer(step);
  if (entry.kind !== 'repair') return false;
  step.run.stage = 'done';
  return true;
}

/** Something stands at other than a pass: a reason to think of a repair. */
function hasTrouble({ job }: JobSessionState): boolean {
  return Object.values(job.checks).some(({ outcome }) => outcome !== null && outcome !== 'pass');
}

function repairEntry({ guide }: JobSessionState, repair: string, by: By): NewEntry {
  const text = guide.repairs.find(({ id }) => id === repair)?.name ?? repair;
  return { kind: 'repair', what: 'repair', repair, unit: null, text, by };
}

function concludedEntry(state: JobSessionState, conclusion: Conclusion): NewEntry {
  const { guide, job, insight } = state;
  const { kind, decisions, plan, isWhole, notTested, beyond } = conclusion;
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
    ...(isWhole === null ? {} : { isWhole }),
    notTested: [...notTested],
    beyond,
    evidence: evidenceByRepair(job)
      .flat()
      .map(({ n }) => n),
  };
}

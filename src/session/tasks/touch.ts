import type { Outcome } from '../../measure/types.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { NewEntry } from '../../record/entries/entries.ts';
import type { Settled } from '../job/attempt-progress.ts';
import type { JobSessionEvent, ProbeMode } from '../job/job-session-state.ts';
import type { JobStep } from '../job/job-step.ts';
import { type Arming, stepArming } from './arming.ts';
import type { TaskHandler } from './handler.ts';
import { settledOf, type Taken } from './kinds/evidence-parts.ts';
import { holdOutcome, isOverdue } from './lifting.ts';
import { troubleOfLost } from './lost-readings.ts';
import { isTouching, type SettledEvent, stepTips } from './tips.ts';

/** What a touch came to: a settled window, or why there is none. */
export interface TouchResult {
  settled: Settled | null;
  /** Set when the touch itself decides: unsteady, no contact, live. Null: the reading decides. */
  trouble: Outcome | null;
  why: string | null;
}

/** What differs from one measured task to the next. */
export interface TouchPlan {
  mode(step: JobStep): ProbeMode;
  prompt(step: JobStep): Omit<Prompt, 'id'>;
  /** False: the probe's own inputs are measured, no hand touches anything. */
  byHand: boolean;
  power(step: JobStep): 'on' | 'off' | null;
  entry(step: JobStep, result: TouchResult): NewEntry;
  /** True when a touch with this outcome is asked for again. */
  again(step: JobStep, outcome: Outcome): boolean;
}

/**
 * Returns the handler of a task in which tips touch, a reading settles, the evidence is stored, and
 * the tips lift.
 */
export function touchHandler(plan: TouchPlan): TaskHandler {
  const arming: Arming = { arm: (step) => step.setMode(plan.mode(step)), prompt: plan.prompt };
  return {
    start(step) {
      step.restart();
      askForPower(step, plan.power(step));
      arming.arm(step);
    },
    on: (step, event) => stepArming(arming, step, event) ?? stepCheck(plan, step, event),
  };
}

/**
 * Asks for the device to be switched when it is not known to stand as wanted, and puts the change
 * on record.
 */
export function askForPower(step: JobStep, wanted: 'on' | 'off' | null): void {
  if (wanted === null || step.state.power === wanted) return;
  step.state.power = wanted;
  step.append({ kind: 'power', to: wanted });
  step.prompt({ act: 'power', power: wanted });
}

function stepCheck(plan: TouchPlan, step: JobStep, event: JobSessionEvent): boolean {
  const run = step.run;
  switch (event.type) {
    case 'clock':
      run.sinceUs ??= event.tUs;
      if (run.stage === 'waiting' && isOverdue(step, event.tUs)) record(plan, step, nothing('no-contact'));
      return false;
    case 'button':
      // a probe that does not feel its tips: the person says that they stand on the pads
      if (event.standing !== null && (run.stage === 'waiting' || run.stage === 'touching')) {
        takeSettled(plan, step, { ...event.standing, by: 'button' });
      }
      return false;
    case 'contact':
      return stepTips(step, event.contact, (settled) => take(plan, step, settled));
    case 'appended':
      return onAppended(plan, step, event);
    default:
      return false;
  }
}

function nothing(trouble: Outcome): TouchResult {
  return { settled: null, trouble, why: null };
}

function take(plan: TouchPlan, step: JobStep, contactEvent: SettledEvent): void {
  const { run } = step;
  if (contactEvent.kind === 'captured') {
    if (!isTouching(step)) return;
    takeSettled(plan, step, { ...contactEvent, by: 'settled' });
    return;
  }
  // a drop-out while the outcome is held takes a pass away
  if (run.abandoned || run.stage === 'arming' || run.stage === 'live' || run.stage === 'recording') return;
  const settled = settledOf(step, { ...contactEvent, by: 'settled' });
  record(plan, step, { settled, trouble: 'unsteady', why: contactEvent.why });
}

function takeSettled(plan: TouchPlan, step: JobStep, taken: Taken): void {
  const lost = troubleOfLost(step, taken);
  record(plan, step, { settled: settledOf(step, taken), trouble: lost?.outcome ?? null, why: lost?.why ?? null });
}

function record(plan: TouchPlan, step: JobStep, result: TouchResult): void {
  step.run.stage = 'recording';
  step.run.lifted = step.run.lifted || !plan.byHand;
  step.append(plan.entry(step, result));
}

function onAppended(plan: TouchPlan, step: JobStep, event: Extract<JobSessionEvent, { type: 'appended' }>): boolean {
  if (step.run.stage !== 'recording' || !('outcome' in event.entry)) return false;
  const { outcome } = event.entry;
  return holdOutcome(step, outcome, plan.again(step, outcome));
}

import type { Outcome } from '../../measure/types.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { NewEntry } from '../../record/entries/entries.ts';
import type { Settled } from '../job/attempt-progress.ts';
import type { BenchEvent, ProbeMode } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import { type Arming, stepArming } from './arming.ts';
import { settledOf } from './evidence-parts.ts';
import type { TaskHandler } from './handler.ts';
import { holdOutcome, isOverdue } from './lifting.ts';
import { isTouching, type SettledHappening, stepTips } from './tips.ts';

/** What a touch came to: a settled window, or why there is none. */
export interface TouchResult {
  settled: Settled | null;
  /** Set when the touch itself decides: unsteady, no contact, live. Null: the reading decides. */
  trouble: Outcome | null;
  why: string | null;
}

/** What differs from one measured task to the next. */
export interface TouchPlan {
  mode(turn: Turn): ProbeMode;
  prompt(turn: Turn): Omit<Prompt, 'id'>;
  /** False: the probe's own inputs are measured, no hand touches anything. */
  byHand: boolean;
  power(turn: Turn): 'on' | 'off' | null;
  entry(turn: Turn, result: TouchResult): NewEntry;
  /** True when a touch with this outcome is asked for again. */
  again(turn: Turn, outcome: Outcome): boolean;
}

/** Returns the handler of a task in which tips touch, a reading settles, the evidence is stored, and the tips lift. */
export function touchHandler(plan: TouchPlan): TaskHandler {
  const arming: Arming = { arm: (turn) => turn.setMode(plan.mode(turn)), prompt: plan.prompt };
  return {
    start(turn) {
      turn.restart();
      askForPower(turn, plan.power(turn));
      arming.arm(turn);
    },
    on: (turn, event) => stepArming(arming, turn, event) ?? step(plan, turn, event),
  };
}

/** Asks for the device to be switched when it is not known to stand as wanted, and puts the change on record. */
export function askForPower(turn: Turn, wanted: 'on' | 'off' | null): void {
  if (wanted === null || turn.state.power === wanted) return;
  turn.state.power = wanted;
  turn.append({ kind: 'power', to: wanted });
  turn.prompt({ act: 'power', power: wanted });
}

function step(plan: TouchPlan, turn: Turn, event: BenchEvent): boolean {
  const run = turn.run;
  switch (event.type) {
    case 'clock':
      run.sinceUs ??= event.tUs;
      if (run.stage === 'waiting' && isOverdue(turn, event.tUs)) record(plan, turn, nothing('no-contact'));
      return false;
    case 'button':
      // a probe that does not feel its tips: the person says that they stand on the pads
      if (event.standing !== null && (run.stage === 'waiting' || run.stage === 'touching')) {
        const settled = settledOf(turn, { ...event.standing, by: 'button' });
        record(plan, turn, { settled, trouble: null, why: null });
      }
      return false;
    case 'happening':
      return stepTips(turn, event.happening, (settled) => take(plan, turn, settled));
    case 'appended':
      return onAppended(plan, turn, event);
    default:
      return false;
  }
}

function nothing(trouble: Outcome): TouchResult {
  return { settled: null, trouble, why: null };
}

function take(plan: TouchPlan, turn: Turn, happening: SettledHappening): void {
  const { run } = turn;
  if (happening.kind === 'captured') {
    if (!isTouching(turn)) return;
    record(plan, turn, { settled: settledOf(turn, { ...happening, by: 'settled' }), trouble: null, why: null });
    return;
  }
  // a drop-out while the outcome is held takes a pass away
  if (run.abandoned || run.stage === 'arming' || run.stage === 'live' || run.stage === 'recording') return;
  const settled = settledOf(turn, { ...happening, by: 'settled' });
  record(plan, turn, { settled, trouble: 'unsteady', why: happening.why });
}

function record(plan: TouchPlan, turn: Turn, result: TouchResult): void {
  turn.run.stage = 'recording';
  turn.run.lifted = turn.run.lifted || !plan.byHand;
  turn.append(plan.entry(turn, result));
}

function onAppended(plan: TouchPlan, turn: Turn, event: Extract<BenchEvent, { type: 'appended' }>): boolean {
  if (turn.run.stage !== 'recording' || !('outcome' in event.entry)) return false;
  const { outcome } = event.entry;
  return holdOutcome(turn, outcome, plan.again(turn, outcome));
}

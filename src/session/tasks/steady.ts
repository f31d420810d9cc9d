import { judge } from '../../checks/registry.ts';
import type { Guide, SteadyCheck } from '../../guide/types.ts';
import { defaultContactSettings } from '../../measure/contact/contact-settings.ts';
import { dropOutsOf, type Hold } from '../../measure/contact/steady-hold.ts';
import { decide } from '../../measure/judge/decide.ts';
import type { Outcome } from '../../measure/types.ts';
import { entryKindOf } from '../../record/entries/stored-kinds.ts';
import type { KindRun, Settled } from '../job/attempt-progress.ts';
import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import { type Arming, stepArming } from './arming.ts';
import { captureOf, settledOf, storedReading, type Taken } from './evidence-parts.ts';
import type { TaskHandler } from './handler.ts';
import { isOverdue } from './lifting.ts';
import { isTouching, type SettledHappening, stepRecorded, stepTips } from './tips.ts';
import { askForPower } from './touch.ts';

interface SteadyTask {
  guide: Guide;
  check: SteadyCheck;
}

type SteadyRun = Extract<KindRun, { kind: 'steady' }>;
type Trouble = { outcome: Extract<Outcome, 'unsteady' | 'no-contact'>; why: string };

/** An opening in the last moments before a lift is of the lift; the hold runs so much longer that its own are told from it. */
const { confirmUs } = defaultContactSettings;

/**
 * Returns the handler of a steady check: a touch settles within its limits, and is then held while the person flexes the device.
 *
 * A touch that does not settle is held all the same: between tips that feel their seat, that is what this check looks for.
 */
export function steadyTask(guide: Guide, check: SteadyCheck): TaskHandler {
  const { pads, pressed, id, level } = check;
  const arming: Arming = {
    arm: (turn) => turn.setMode({ mode: 'resistance', level, input: 'tips' }, 'hold'),
    prompt: () => ({
      act: 'touch',
      pads,
      held: pressed,
      check: id,
    }),
  };
  const task: SteadyTask = { guide, check };
  return {
    start(turn) {
      turn.restart();
      askForPower(turn, check.power);
      arming.arm(turn);
    },
    on: (turn, event) => stepArming(arming, turn, event) ?? step(task, turn, event),
  };
}

function step(task: SteadyTask, turn: Turn, event: BenchEvent): boolean {
  const { run } = turn;
  switch (event.type) {
    case 'clock':
      run.sinceUs ??= event.tUs;
      if (run.stage === 'waiting' && isOverdue(turn, event.tUs)) {
        record(task, turn, null, { outcome: 'no-contact', why: 'no-contact' });
      }
      return false;
    case 'button':
      // a probe that does not feel its tips: an open path is taken as the person says; it is not held
      if (event.standing !== null && isTouching(turn)) takeSettled(task, turn, { ...event.standing, by: 'button' });
      return false;
    case 'gap':
      if (run.stage === 'holding' && run.kindRun?.kind === 'steady') run.kindRun = { ...run.kindRun, hasGap: true };
      return false;
    case 'hold':
      if (run.stage === 'holding' && !run.abandoned) takeHold(task, turn, event.hold);
      return false;
    case 'happening':
      return stepTips(
        turn,
        event.happening,
        // while held, openings and wandering are the measurement itself
        (settled) => isTouching(turn) && takeTouch(task, turn, settled),
        () => run.stage === 'holding' && !run.abandoned && takeLift(task, turn),
      );
    case 'appended':
      return stepRecorded(turn, event.entry, 'steady');
    default:
      return false;
  }
}

function takeTouch(task: SteadyTask, turn: Turn, settled: SettledHappening): void {
  if (settled.kind === 'captured') {
    takeSettled(task, turn, { ...settled, by: 'settled' });
    return;
  }
  turn.run.kindRun = steadyRun(settledOf(turn, { ...settled, by: 'settled' }), settled.why);
  beginHold(task, turn);
}

function steadyRun(settled: Settled, restless: string | null): SteadyRun {
  return { kind: 'steady', settled, restless, hold: null, hasGap: false };
}

/** The touch has settled. Only what is within its limits is worth holding. */
function takeSettled(task: SteadyTask, turn: Turn, taken: Taken): void {
  const { check, guide } = task;
  const settled = settledOf(turn, taken);
  turn.run.kindRun = steadyRun(settled, null);
  if (decide(settled.reading, check.limits, guide.rule).outcome !== 'pass') {
    record(task, turn, null, null);
    return;
  }
  beginHold(task, turn);
}

function beginHold({ check }: SteadyTask, turn: Turn): void {
  turn.run.stage = 'holding';
  turn.run.progress = 0;
  turn.sound('beat');
  turn.prompt({ act: 'flex', check: check.id, pads: check.pads });
}

function takeHold(task: SteadyTask, turn: Turn, hold: Hold): void {
  const { run } = turn;
  const holdUs = task.check.holdMs * 1000;
  if (run.kindRun?.kind !== 'steady') return;
  run.kindRun = { ...run.kindRun, hold };
  run.progress = Math.min(1, hold.heldUs / holdUs);
  if (hold.heldUs >= holdUs + confirmUs) record(task, turn, hold, null);
}

/** The tips came off: after the asked time that ends the hold, before it nothing is known. */
function takeLift(task: SteadyTask, turn: Turn): void {
  const begun = turn.run.kindRun;
  if (begun?.kind !== 'steady') return;
  const { hold } = begun;
  const holdUs = task.check.holdMs * 1000;
  const heldUs = hold?.heldUs ?? 0;
  if (hold !== null && heldUs >= holdUs) {
    const untilUs = hold.fromUs + heldUs - confirmUs;
    record(task, turn, hold, null, untilUs);
    return;
  }
  const why = `the tips lifted after ${(heldUs / 1e6).toFixed(1)} s of ${holdUs / 1e6} s`;
  record(task, turn, hold, { outcome: 'unsteady', why });
}

function record(
  task: SteadyTask,
  turn: Turn,
  hold: Hold | null,
  trouble: Trouble | null,
  untilUs = Number.POSITIVE_INFINITY,
): void {
  const { check, guide } = task;
  const { run } = turn;
  const { calibration } = turn.state.probe!;
  const settled = run.kindRun?.kind === 'steady' ? run.kindRun.settled : null;
  const { limits, level, power, holdMs, maxDropOuts, maxWander } = check;
  const held = hold === null ? null : { ...hold, dropOuts: dropOutsOf(hold, untilUs) };
  const against = { calibration, level, limits, rule: guide.rule, maxDropOuts, maxWander };
  const judged = settled === null ? null : judge('steady', { ...settled, hold: held, ...against });
  const unknown = trouble ?? (judged?.isUnsteady === false ? whyUnknown(run.kindRun) : null);
  run.stage = 'recording';
  turn.append({
    kind: entryKindOf.steady,
    check: check.id,
    attempt: turn.nextAttempt(check.id),
    phase: turn.phase,
    limits,
    rule: guide.rule,
    level,
    power,
    capture: captureOf(turn, settled),
    reading: storedReading(settled?.reading ?? null),
    holdMs,
    maxDropOuts,
    maxWander,
    hold:
      held === null
        ? null
        : { fromUs: held.fromUs, heldUs: held.heldUs, buckets: held.buckets, dropOuts: held.dropOuts },
    span: judged?.span ?? null,
    outcome: unknown?.outcome ?? judged?.outcome ?? 'no-contact',
    why: unknown?.why ?? judged?.why ?? 'no-contact',
  });
}

/** Why a hold that saw nothing unsteady says nothing all the same; null when it says something. */
function whyUnknown(kindRun: Turn['run']['kindRun']): Trouble | null {
  if (kindRun?.kind !== 'steady') return null;
  // a touch that would not settle and was still when held: which of the two is right is not known
  if (kindRun.restless !== null) return { outcome: 'unsteady', why: kindRun.restless };
  if (!kindRun.hasGap) return null;
  return { outcome: 'unsteady', why: 'some readings of the hold did not arrive: a drop-out may be among them' };
}

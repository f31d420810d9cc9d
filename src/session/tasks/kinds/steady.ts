import { judge } from '../../../checks/registry.ts';
import type { Guide, SteadyCheck } from '../../../guide/types.ts';
import { defaultContactSettings } from '../../../measure/contact/contact-settings.ts';
import { dropOutsOf, type Hold } from '../../../measure/contact/steady-hold.ts';
import { decide } from '../../../measure/judge/decide.ts';
import type { Outcome } from '../../../measure/types.ts';
import { entryKindOf } from '../../../record/kinds/stored-kinds.ts';
import type { KindProgress, Settled } from '../../job/attempt-progress.ts';
import type { JobSessionEvent } from '../../job/job-session-state.ts';
import type { JobStep } from '../../job/job-step.ts';
import { type Arming, stepArming } from '../arming.ts';
import type { TaskHandler } from '../handler.ts';
import { isOverdue } from '../lifting.ts';
import { isTouching, type SettledEvent, stepRecorded, stepTips } from '../tips.ts';
import { askForPower } from '../touch.ts';
import { captureOf, settledOf, storedReading, type Taken } from './evidence-parts.ts';

interface SteadyTask {
  guide: Guide;
  check: SteadyCheck;
}

type SteadyRun = Extract<KindProgress, { kind: 'steady' }>;
type Trouble = { outcome: Extract<Outcome, 'unsteady' | 'no-contact'>; why: string };

/**
 * An opening in the last moments before a lift is of the lift; the hold runs so much longer that
 * its own are told from it.
 */
const { confirmUs } = defaultContactSettings;

/**
 * Returns the handler of a steady check: a touch settles within its limits, and is then held while
 * the person flexes the device.
 *
 * A touch that does not settle is held all the same: between tips that feel their seat, that is
 * what this check looks for.
 */
export function steadyTask(guide: Guide, check: SteadyCheck): TaskHandler {
  const { pads, pressed, id, level } = check;
  const arming: Arming = {
    arm: (step) => step.setMode({ mode: 'resistance', level, input: 'tips' }, 'hold'),
    prompt: () => ({
      act: 'touch',
      pads,
      held: pressed,
      check: id,
    }),
  };
  const task: SteadyTask = { guide, check };
  return {
    start(step) {
      step.restart();
      askForPower(step, check.power);
      arming.arm(step);
    },
    on: (step, event) => stepArming(arming, step, event) ?? stepCheck(task, step, event),
  };
}

function stepCheck(task: SteadyTask, step: JobStep, event: JobSessionEvent): boolean {
  const { run } = step;
  switch (event.type) {
    case 'clock':
      run.sinceUs ??= event.tUs;
      if (run.stage === 'waiting' && isOverdue(step, event.tUs)) {
        record(task, step, null, { outcome: 'no-contact', why: 'no-contact' });
      }
      return false;
    case 'button':
      // a probe that does not feel its tips: an open path is taken as the person says; it is not
      // held
      if (event.standing !== null && isTouching(step)) takeSettled(task, step, { ...event.standing, by: 'button' });
      return false;
    case 'gap':
      if (run.stage === 'holding' && run.kindProgress?.kind === 'steady')
        run.kindProgress = { ...run.kindProgress, hasGap: true };
      return false;
    case 'hold':
      if (run.stage === 'holding' && !run.abandoned) takeHold(task, step, event.hold);
      return false;
    case 'contact':
      return stepTips(
        step,
        event.contact,
        // while held, openings and wandering are the measurement itself
        (settled) => isTouching(step) && takeTouch(task, step, settled),
        () => run.stage === 'holding' && !run.abandoned && takeLift(task, step),
      );
    case 'appended':
      return stepRecorded(step, event.entry, 'steady');
    default:
      return false;
  }
}

function takeTouch(task: SteadyTask, step: JobStep, settled: SettledEvent): void {
  if (settled.kind === 'captured') {
    takeSettled(task, step, { ...settled, by: 'settled' });
    return;
  }
  step.run.kindProgress = steadyRun(settledOf(step, { ...settled, by: 'settled' }), settled.why);
  beginHold(task, step);
}

function steadyRun(settled: Settled, unsettledWhy: string | null): SteadyRun {
  return { kind: 'steady', settled, unsettledWhy, hold: null, hasGap: false };
}

/** The touch has settled. Only what is within its limits is worth holding. */
function takeSettled(task: SteadyTask, step: JobStep, taken: Taken): void {
  const { check, guide } = task;
  const settled = settledOf(step, taken);
  step.run.kindProgress = steadyRun(settled, null);
  if (decide(settled.reading, check.limits, guide.rule).outcome !== 'pass') {
    record(task, step, null, null);
    return;
  }
  beginHold(task, step);
}

function beginHold({ check }: SteadyTask, step: JobStep): void {
  step.run.stage = 'holding';
  step.run.progress = 0;
  step.sound('beat');
  step.prompt({ act: 'flex', check: check.id, pads: check.pads });
}

function takeHold(task: SteadyTask, step: JobStep, hold: Hold): void {
  const { run } = step;
  const holdUs = task.check.holdMs * 1000;
  if (run.kindProgress?.kind !== 'steady') return;
  run.kindProgress = { ...run.kindProgress, hold };
  run.progress = Math.min(1, hold.heldUs / holdUs);
  if (hold.heldUs >= holdUs + confirmUs) record(task, step, hold, null);
}

/** The tips came off: after the asked time that ends the hold, before it nothing is known. */
function takeLift(task: SteadyTask, step: JobStep): void {
  const begun = step.run.kindProgress;
  if (begun?.kind !== 'steady') return;
  const { hold } = begun;
  const holdUs = task.check.holdMs * 1000;
  const heldUs = hold?.heldUs ?? 0;
  if (hold !== null && heldUs >= holdUs) {
    const untilUs = hold.fromUs + heldUs - confirmUs;
    record(task, step, hold, null, untilUs);
    return;
  }
  const why = `the tips lifted after ${(heldUs / 1e6).toFixed(1)} s of ${holdUs / 1e6} s`;
  record(task, step, hold, { outcome: 'unsteady', why });
}

function record(
  task: SteadyTask,
  step: JobStep,
  hold: Hold | null,
  trouble: Trouble | null,
  untilUs = Number.POSITIVE_INFINITY,
): void {
  const { check, guide } = task;
  const { run } = step;
  const { calibration } = step.state.probe!;
  const settled = run.kindProgress?.kind === 'steady' ? run.kindProgress.settled : null;
  const { limits, level, power, holdMs, maxDropOuts, maxWander } = check;
  const held = hold === null ? null : { ...hold, dropOuts: dropOutsOf(hold, untilUs) };
  const against = { calibration, level, limits, rule: guide.rule, maxDropOuts, maxWander };
  const judged = settled === null ? null : judge('steady', { ...settled, hold: held, ...against });
  const unknown = trouble ?? (judged?.isUnsteady === false ? whyUnknown(run.kindProgress) : null);
  run.stage = 'recording';
  step.append({
    kind: entryKindOf('steady'),
    check: check.id,
    attempt: step.nextAttempt(check.id),
    phase: step.phase,
    limits,
    rule: guide.rule,
    level,
    power,
    capture: captureOf(step, settled),
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
function whyUnknown(kindProgress: JobStep['run']['kindProgress']): Trouble | null {
  if (kindProgress?.kind !== 'steady') return null;
  // a touch that would not settle and was still when held: which of the two is right is not known
  if (kindProgress.unsettledWhy !== null) return { outcome: 'unsteady', why: kindProgress.unsettledWhy };
  if (!kindProgress.hasGap) return null;
  return { outcome: 'unsteady', why: 'some readings of the hold did not arrive: a drop-out may be among them' };
}

import { judge } from '../../../checks/registry.ts';
import type { DryNormalCheck, Guide } from '../../../guide/types.ts';
import type { ContactEvent, Level, Outcome } from '../../../measure/types.ts';
import { feelsTips } from '../../../protocol/flags.ts';
import { entryKindOf } from '../../../record/kinds/stored-kinds.ts';
import type { Settled } from '../../job/attempt-progress.ts';
import type { JobSessionEvent } from '../../job/job-session-state.ts';
import type { JobStep } from '../../job/job-step.ts';
import { type Arming, stepArming } from '../arming.ts';
import type { TaskHandler } from '../handler.ts';
import { isOverdue, leaveWhenLifted } from '../lifting.ts';
import { troubleOfLost } from '../lost-readings.ts';
import { isTouching, stepRecorded, stepTips } from '../tips.ts';
import { askForPower } from '../touch.ts';
import { captureOf, settledOf, storedReading, type Taken } from './evidence-parts.ts';

/** Tips that are still on the pads show within this time after the level was changed. */
const stillOnUs = 400_000;

interface DryNormalTask {
  guide: Guide;
  check: DryNormalCheck;
}

type Trouble = { outcome: Extract<Outcome, 'unsteady' | 'no-contact'>; why: string };

/**
 * Returns the handler of a film check: one touch, read at the dry level first, as the normal level
 * may break a film, then at the normal one.
 */
export function dryNormalTask(guide: Guide, check: DryNormalCheck): TaskHandler {
  const { pads, pressed, id } = check;
  const arming: Arming = {
    arm: (step) => arm(step, step.run.kindProgress === null ? 'dry' : 'normal'),
    prompt: () => ({
      act: 'touch',
      pads,
      held: pressed,
      check: id,
    }),
  };
  const task: DryNormalTask = { guide, check };
  return {
    start(step) {
      step.restart();
      askForPower(step, check.power);
      arm(step, 'dry');
    },
    on(step, event) {
      // between the levels the tips stay where they are: nothing is asked for
      if (event.type === 'mode-set' && onNormalSet(step)) return false;
      return stepArming(arming, step, event) ?? stepCheck(task, step, event);
    },
  };
}

function arm(step: JobStep, level: Level): void {
  step.setMode({ mode: 'resistance', level, input: 'tips' });
}

function onNormalSet({ run, state }: JobStep): boolean {
  if (run.kindProgress?.kind !== 'dry-normal' || run.refusedUs !== null) return false;
  run.kindProgress = { ...run.kindProgress, setUs: state.tUs };
  if (run.stage === 'arming') run.stage = 'touching';
  return true;
}

function stepCheck(task: DryNormalTask, step: JobStep, event: JobSessionEvent): boolean {
  switch (event.type) {
    case 'clock':
      return onClock(task, step, event.tUs);
    case 'button':
      // a probe that does not feel its tips: the person says that they stand on the pads
      if (event.standing !== null && isTouching(step)) take(task, step, { ...event.standing, by: 'button' });
      return false;
    case 'contact':
      return onContact(task, step, event.contact);
    case 'appended':
      return stepRecorded(step, event.entry, 'dry-normal');
    default:
      return false;
  }
}

function isHeld({ run }: JobStep): boolean {
  return run.stage === 'lifting' && !run.lifted && !run.abandoned && run.outcome !== null && run.kindProgress !== null;
}

function onContact(task: DryNormalTask, step: JobStep, contactEvent: ContactEvent): boolean {
  const { run } = step;
  const between = run.kindProgress?.kind === 'dry-normal' ? run.kindProgress : null;
  if (between !== null && contactEvent.kind === 'make') run.kindProgress = { ...between, made: true };
  const went = stepTips(
    step,
    contactEvent,
    (settled) => {
      // a drop-out while the outcome is held takes a pass away
      const trouble: Trouble | null = settled.kind === 'captured' ? null : { outcome: 'unsteady', why: settled.why };
      if (isTouching(step) || (trouble !== null && isHeld(step)))
        take(task, step, { ...settled, by: 'settled' }, trouble);
    },
    () => {
      if (between !== null && run.stage === 'touching' && !run.abandoned) record(task, step, null, liftedBetween);
    },
  );
  if (contactEvent.kind === 'settling') run.progress = (contactEvent.progress + (between === null ? 0 : 1)) / 2;
  return went;
}

const liftedBetween: Trouble = { outcome: 'unsteady', why: 'the tips lifted between the dry and the normal level' };

function onClock(task: DryNormalTask, step: JobStep, tUs: number): boolean {
  const { run } = step;
  run.sinceUs ??= tUs;
  const between = run.kindProgress?.kind === 'dry-normal' ? run.kindProgress : null;
  if (run.stage === 'waiting' && isOverdue(step, tUs)) {
    record(task, step, null, { outcome: 'no-contact', why: 'no-contact' });
    return false;
  }
  if (between === null || between.made || between.setUs === null || tUs - between.setUs < stillOnUs) return false;
  // a path that is open, under tips that are not felt, shows nothing: the person says when
  if (!feelsTips(step.state.probe!.identity) && between.dry.reading.state !== 'in-range') return false;
  // the lift came while the level was being changed, where nothing watched
  if (run.stage !== 'touching' && run.stage !== 'lifting') return false;
  run.lifted = true;
  if (run.stage === 'touching' && !run.abandoned) record(task, step, null, liftedBetween);
  return leaveWhenLifted(step);
}

/** Takes a settled window: of the dry level the first time, of the normal one the second. */
function take(task: DryNormalTask, step: JobStep, taken: Taken, met: Trouble | null = null): void {
  const { run } = step;
  const trouble = met ?? troubleOfLost(step, taken);
  const settled = settledOf(step, taken);
  if (run.kindProgress === null) {
    run.kindProgress = { kind: 'dry-normal', dry: settled, setUs: null, made: false };
    if (trouble !== null) {
      record(task, step, null, trouble);
      return;
    }
    run.stage = 'arming';
    arm(step, 'normal');
    return;
  }
  record(task, step, settled, trouble);
}

function record(task: DryNormalTask, step: JobStep, normal: Settled | null, trouble: Trouble | null): void {
  const { check, guide } = task;
  const { run } = step;
  const dry = run.kindProgress?.kind === 'dry-normal' ? run.kindProgress.dry : null;
  const { limits, factor, power, id } = check;
  const { calibration } = step.state.probe!;
  const against = { calibration, limits, factor, rule: guide.rule };
  const judged = dry === null || normal === null ? null : judge('dry-normal', { dry, normal, ...against });
  run.stage = 'recording';
  step.append({
    kind: entryKindOf('dry-normal'),
    check: id,
    attempt: step.nextAttempt(id),
    phase: step.phase,
    limits,
    rule: guide.rule,
    factor,
    power,
    by: dry?.by === 'button' || normal?.by === 'button' ? 'button' : 'settled',
    dry: stored(step, dry),
    normal: stored(step, normal),
    outcome: trouble?.outcome ?? judged?.outcome ?? 'unsteady',
    why: trouble?.why ?? judged?.why ?? 'unsteady',
  });
}

function stored(step: JobStep, settled: Settled | null) {
  if (settled === null) return null;
  return { capture: captureOf(step, settled), reading: storedReading(settled.reading) };
}

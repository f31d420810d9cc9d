import type { BridgeCheck, Guide } from '../../../guide/types.ts';
import { proveClosure } from '../../../measure/judge/closure.ts';
import { decide } from '../../../measure/judge/decide.ts';
import type { Prompt } from '../../../ports/prompt.ts';
import type { KindProgress } from '../../job/attempt-progress.ts';
import type { JobSessionEvent } from '../../job/job-session-state.ts';
import type { JobStep } from '../../job/job-step.ts';
import { type Arming, stepArming } from '../arming.ts';
import type { TaskHandler } from '../handler.ts';
import { isOverdue } from '../lifting.ts';
import { troubleOfLost } from '../lost-readings.ts';
import { isTouching, type SettledEvent, stepRecorded, stepTips } from '../tips.ts';
import { askForPower } from '../touch.ts';
import { type BridgeTask, type BridgeTrouble, lightAfter, recordBridge, seesLight } from './bridge-record.ts';
import { settledOf, type Taken } from './evidence-parts.ts';

type BridgeRun = Extract<KindProgress, { kind: 'bridge' }>;

/** The bridge is told of within this time after its end, or it never closed. */
const wordOverdueUs = 1_000_000;
/** A change of light is told of at the latest so long after it. */
const lightLateUs = 50_000;

/**
 * Returns the handler of a bridge check: the idle voltage settles and is as wanted, the probe
 * closes the pads for a set time, the voltage proves that it conducted, and only then is it asked
 * whether the device responded.
 */
export function bridgeTask(guide: Guide, check: BridgeCheck): TaskHandler {
  const arming: Arming = {
    arm: (step) => step.setMode({ mode: 'voltage', level: 'normal', input: 'tips' }, 'closure'),
    prompt: () => ({
      act: 'touch',
      pads: check.pads,
      held: check.pressed,
      check: check.id,
    }),
  };
  const task: BridgeTask = { guide, check };
  return {
    takesButton: (step) => step.run.stage === 'asking' && !seesLight(step, check),
    start(step) {
      step.restart();
      askForPower(step, check.power);
      arming.arm(step);
    },
    on: (step, event) => stepArming(arming, step, event) ?? stepCheck(task, step, event),
  };
}

function stepCheck(task: BridgeTask, step: JobStep, event: JobSessionEvent): boolean {
  const { run } = step;
  switch (event.type) {
    case 'clock':
      onClock(task, step, event.tUs);
      return false;
    case 'button':
      if (run.stage === 'asking') recordBridge(task, step, { answer: event.long ? 'no' : 'yes', by: 'button' });
      // a probe that does not feel its tips: the person says that they stand on the pads
      else if (event.standing !== null && isTouching(step)) takeIdle(task, step, { ...event.standing, by: 'button' });
      return false;
    case 'light':
      run.light = [...run.light.slice(-15), event.change];
      return false;
    case 'gap':
      if (run.kindProgress?.kind === 'bridge') run.kindProgress = { ...run.kindProgress, hasGap: true };
      return false;
    case 'bridge-refused':
      if (run.stage === 'closing') recordBridge(task, step, null, refusal(event.status));
      return false;
    case 'closure':
      if (run.stage === 'closing' && run.kindProgress?.kind === 'bridge')
        takeClosure(task, step, run.kindProgress, event.closure);
      return false;
    case 'answer':
      if (run.stage === 'asking' && event.prompt === run.prompt?.id) recordBridge(task, step, event);
      return false;
    case 'contact': {
      const { contact: contactEvent } = event;
      // light that changed while the device was switched on, or the hands came, is none of its
      // doing
      if (contactEvent.kind === 'make') run.light = [];
      return stepTips(step, contactEvent, (settled) => {
        if (isTouching(step)) takeTouch(task, step, settled);
      });
    }
    case 'appended':
      return stepRecorded(step, event.entry, 'bridge');
    default:
      return false;
  }
}

function takeTouch(task: BridgeTask, step: JobStep, settled: SettledEvent): void {
  if (settled.kind === 'captured') {
    takeIdle(task, step, { ...settled, by: 'settled' });
    return;
  }
  step.run.kindProgress = bridgeRun(step, { ...settled, by: 'settled' });
  recordBridge(task, step, null, { outcome: 'unsteady', why: `the idle voltage ${settled.why}` });
}

/**
 * Waits, in probe time: for a touch, for the probe's word of the closure, for the light to change.
 */
function onClock(task: BridgeTask, step: JobStep, tUs: number): void {
  const { run } = step;
  run.sinceUs ??= tUs;
  if (run.stage === 'waiting' && isOverdue(step, tUs)) {
    recordBridge(task, step, null, { outcome: 'no-contact', why: 'no-contact' });
    return;
  }
  if (run.kindProgress?.kind !== 'bridge') return;
  const { askedUs, closure, hasGap } = run.kindProgress;
  if (run.stage === 'closing') {
    run.progress = Math.min(1, Math.max(0, (tUs - askedUs) / (task.check.durationMs * 1000)));
    if (tUs - askedUs > task.check.durationMs * 1000 + wordOverdueUs) {
      recordBridge(task, step, null, { outcome: 'unsteady', why: 'the probe told nothing of the closure' });
    }
    return;
  }
  if (run.stage !== 'asking' || closure === null || !seesLight(step, task.check)) return;
  const endUs = closure.closedUs + task.check.withinMs * 1000;
  if (lightAfter(run.light, closure.closedUs, endUs) !== null) recordBridge(task, step, { answer: 'yes', by: 'light' });
  // a change that was lost on its way is no 'no'
  else if (tUs > endUs + lightLateUs) recordBridge(task, step, { answer: hasGap ? 'unsure' : 'no', by: 'light' });
}

/** The idle voltage has settled: as wanted, the bridge closes; else that is the outcome. */
function takeIdle(task: BridgeTask, step: JobStep, taken: Taken): void {
  const { check, guide } = task;
  const { run } = step;
  const begun = bridgeRun(step, taken);
  run.kindProgress = begun;
  const lost = troubleOfLost(step, taken);
  if (lost !== null) {
    recordBridge(task, step, null, lost);
    return;
  }
  if (decide(begun.idle.reading, check.idle, guide.rule).outcome !== 'pass') {
    recordBridge(task, step, null);
    return;
  }
  run.stage = 'closing';
  run.progress = 0;
  step.sound('closing');
  step.effects.push({ do: 'bridge', durationMs: check.durationMs });
}

function bridgeRun(step: JobStep, taken: Taken): BridgeRun {
  const idle = settledOf(step, taken);
  return { kind: 'bridge', idle, askedUs: step.state.tUs, closure: null, proof: null, hasGap: false };
}

/**
 * The bridge has opened: what was not proven ends here; else whether the device responded is seen
 * or asked.
 */
function takeClosure(
  task: BridgeTask,
  step: JobStep,
  begun: BridgeRun,
  closure: NonNullable<BridgeRun['closure']>,
): void {
  const { check, guide } = task;
  const { durationMs, collapse } = check;
  const how = { durationMs, collapse, rule: guide.rule };
  const proof = proveClosure(begun.idle.reading, closure, how, step.state.probe!.calibration);
  step.run.kindProgress = { ...begun, closure, proof };
  if (!proof.proven) {
    recordBridge(task, step, null);
    return;
  }
  step.run.stage = 'asking';
  step.prompt(questionPrompt(check, proof.why, seesLight(step, check)));
}

function questionPrompt(check: BridgeCheck, told: string, byLight: boolean): Omit<Prompt, 'id'> {
  const { id, question } = check;
  if (byLight) return { act: 'wait', why: 'light', check: id, told };
  return {
    act: 'answer',
    check: id,
    question,
    told,
  };
}

function refusal(status: string): BridgeTrouble {
  if (status === 'overVoltage') {
    const why = 'there is more voltage on the pads than a bridge may close (6 V); the bridge was not closed';
    return { outcome: 'live', why };
  }
  return { outcome: 'unsteady', why: `the probe refused to close the bridge (${status})` };
}

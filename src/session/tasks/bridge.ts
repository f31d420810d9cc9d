import type { BridgeCheck, Guide } from '../../guide/types.ts';
import { proveClosure } from '../../measure/judge/closure.ts';
import { decide } from '../../measure/judge/decide.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { KindRun } from '../job/attempt-progress.ts';
import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import { type Arming, stepArming } from './arming.ts';
import { type BridgeTask, type BridgeTrouble, lightAfter, recordBridge, seesLight } from './bridge-record.ts';
import { settledOf, type Taken } from './evidence-parts.ts';
import type { TaskHandler } from './handler.ts';
import { isOverdue } from './lifting.ts';
import { isTouching, type SettledHappening, stepRecorded, stepTips } from './tips.ts';
import { askForPower } from './touch.ts';

type BridgeRun = Extract<KindRun, { kind: 'bridge' }>;

/** The bridge is told of within this time after its end, or it never closed. */
const wordOverdueUs = 1_000_000;
/** A change of light is told of at the latest so long after it. */
const lightLateUs = 50_000;

/**
 * Returns the handler of a bridge check: the idle voltage settles and is as wanted, the probe closes the pads for a set time, the voltage
 * proves that it conducted, and only then is it asked whether the device responded.
 */
export function bridgeTask(guide: Guide, check: BridgeCheck): TaskHandler {
  const arming: Arming = {
    arm: (turn) => turn.setMode({ mode: 'voltage', level: 'normal', input: 'tips' }, 'closure'),
    prompt: () => ({
      act: 'touch',
      pads: check.pads,
      held: check.pressed,
      check: check.id,
    }),
  };
  const task: BridgeTask = { guide, check };
  return {
    takesButton: (turn) => turn.run.stage === 'asking' && !seesLight(turn, check),
    start(turn) {
      turn.restart();
      askForPower(turn, check.power);
      arming.arm(turn);
    },
    on: (turn, event) => stepArming(arming, turn, event) ?? step(task, turn, event),
  };
}

function step(task: BridgeTask, turn: Turn, event: BenchEvent): boolean {
  const { run } = turn;
  switch (event.type) {
    case 'clock':
      onClock(task, turn, event.tUs);
      return false;
    case 'button':
      if (run.stage === 'asking') recordBridge(task, turn, { answer: event.long ? 'no' : 'yes', by: 'button' });
      // a probe that does not feel its tips: the person says that they stand on the pads
      else if (event.standing !== null && isTouching(turn)) takeIdle(task, turn, { ...event.standing, by: 'button' });
      return false;
    case 'light':
      run.light = [...run.light.slice(-15), event.change];
      return false;
    case 'gap':
      if (run.kindRun?.kind === 'bridge') run.kindRun = { ...run.kindRun, hasGap: true };
      return false;
    case 'bridge-refused':
      if (run.stage === 'closing') recordBridge(task, turn, null, refusal(event.status));
      return false;
    case 'closure':
      if (run.stage === 'closing' && run.kindRun?.kind === 'bridge')
        takeClosure(task, turn, run.kindRun, event.closure);
      return false;
    case 'answer':
      if (run.stage === 'asking' && event.prompt === run.prompt?.id) recordBridge(task, turn, event);
      return false;
    case 'happening': {
      const { happening } = event;
      // light that changed while the device was switched on, or the hands came, is none of its doing
      if (happening.kind === 'make') run.light = [];
      return stepTips(turn, happening, (settled) => {
        if (isTouching(turn)) takeTouch(task, turn, settled);
      });
    }
    case 'appended':
      return stepRecorded(turn, event.entry, 'bridge');
    default:
      return false;
  }
}

function takeTouch(task: BridgeTask, turn: Turn, settled: SettledHappening): void {
  if (settled.kind === 'captured') {
    takeIdle(task, turn, { ...settled, by: 'settled' });
    return;
  }
  turn.run.kindRun = bridgeRun(turn, { ...settled, by: 'settled' });
  recordBridge(task, turn, null, { outcome: 'unsteady', why: `the idle voltage ${settled.why}` });
}

/** Waits, in probe time: for a touch, for the probe's word of the closure, for the light to change. */
function onClock(task: BridgeTask, turn: Turn, tUs: number): void {
  const { run } = turn;
  run.sinceUs ??= tUs;
  if (run.stage === 'waiting' && isOverdue(turn, tUs)) {
    recordBridge(task, turn, null, { outcome: 'no-contact', why: 'no-contact' });
    return;
  }
  if (run.kindRun?.kind !== 'bridge') return;
  const { askedUs, closure, hasGap } = run.kindRun;
  if (run.stage === 'closing') {
    run.progress = Math.min(1, Math.max(0, (tUs - askedUs) / (task.check.durationMs * 1000)));
    if (tUs - askedUs > task.check.durationMs * 1000 + wordOverdueUs) {
      recordBridge(task, turn, null, { outcome: 'unsteady', why: 'the probe told nothing of the closure' });
    }
    return;
  }
  if (run.stage !== 'asking' || closure === null || !seesLight(turn, task.check)) return;
  const endUs = closure.closedUs + task.check.withinMs * 1000;
  if (lightAfter(run.light, closure.closedUs, endUs) !== null) recordBridge(task, turn, { answer: 'yes', by: 'light' });
  // a change that was lost on its way is no 'no'
  else if (tUs > endUs + lightLateUs) recordBridge(task, turn, { answer: hasGap ? 'unsure' : 'no', by: 'light' });
}

/** The idle voltage has settled: as wanted, the bridge closes; else that is the outcome. */
function takeIdle(task: BridgeTask, turn: Turn, taken: Taken): void {
  const { check, guide } = task;
  const { run } = turn;
  const begun = bridgeRun(turn, taken);
  run.kindRun = begun;
  if (decide(begun.idle.reading, check.idle, guide.rule).outcome !== 'pass') {
    recordBridge(task, turn, null);
    return;
  }
  run.stage = 'closing';
  run.progress = 0;
  turn.sound('closing');
  turn.effects.push({ do: 'bridge', durationMs: check.durationMs });
}

function bridgeRun(turn: Turn, taken: Taken): BridgeRun {
  const idle = settledOf(turn, taken);
  return { kind: 'bridge', idle, askedUs: turn.state.tUs, closure: null, proof: null, hasGap: false };
}

/** The bridge has opened: what was not proven ends here; else whether the device responded is seen or asked. */
function takeClosure(task: BridgeTask, turn: Turn, begun: BridgeRun, closure: NonNullable<BridgeRun['closure']>): void {
  const { check, guide } = task;
  const { durationMs, collapse } = check;
  const how = { durationMs, collapse, rule: guide.rule };
  const proof = proveClosure(begun.idle.reading, closure, how, turn.state.probe!.calibration);
  turn.run.kindRun = { ...begun, closure, proof };
  if (!proof.proven) {
    recordBridge(task, turn, null);
    return;
  }
  turn.run.stage = 'asking';
  turn.prompt(questionPrompt(check, proof.why, seesLight(turn, check)));
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

import type { BridgeCheck, Guide } from '../../guide/types.ts';
import { judgeBridge, proveClosure } from '../../measure/closure.ts';
import { decide } from '../../measure/decide.ts';
import { readWindow } from '../../measure/read-window.ts';
import type { Outcome } from '../../measure/types.ts';
import type { KindRun, LightChange, Settled } from '../kind-run.ts';
import type { Prompt } from '../prompt.ts';
import type { BenchEvent } from '../state.ts';
import type { Turn } from '../turn.ts';
import { type Arming, stepArming } from './arming.ts';
import { isWorthAnotherTry, type TaskHandler } from './handler.ts';
import { holdOutcome, isOverdue, leaveWhenLifted } from './lifting.ts';
import { meetLive } from './live.ts';
import { storedReading, touchText } from './measured.ts';
import { askAfterStanding } from './standing.ts';
import { askForPower } from './touch.ts';

type BridgeRun = Extract<KindRun, { kind: 'bridge' }>;
type Answered = { answer: 'yes' | 'no' | 'unsure'; by: 'person' | 'button' | 'hands' | 'option' | 'light' };
type Trouble = { outcome: Extract<Outcome, 'unsteady' | 'no-contact' | 'live'>; why: string };

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
      text: `${touchText(guide, check)}\nStay on: the probe itself joins the pads for ${check.durationMs} ms. Watch the device.`,
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

interface BridgeTask {
  guide: Guide;
  check: BridgeCheck;
}

function step(task: BridgeTask, turn: Turn, event: BenchEvent): boolean {
  const { run } = turn;
  switch (event.type) {
    case 'clock':
      onClock(task, turn, event.tUs);
      return false;
    case 'button':
      if (run.stage === 'asking') record(task, turn, { answer: event.long ? 'no' : 'yes', by: 'button' });
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
      if (run.stage === 'closing') record(task, turn, null, refusal(event.status));
      return false;
    case 'closure':
      if (run.stage === 'closing' && run.kindRun?.kind === 'bridge')
        takeClosure(task, turn, run.kindRun, event.closure);
      return false;
    case 'answer':
      if (run.stage === 'asking' && event.prompt === run.prompt?.id) record(task, turn, event);
      return false;
    case 'happening':
      return onHappening(task, turn, event.happening);
    case 'appended': {
      if (run.stage !== 'recording' || event.entry.kind !== 'bridge') return false;
      const { outcome } = event.entry;
      return holdOutcome(turn, outcome, isWorthAnotherTry(turn, outcome));
    }
    default:
      return false;
  }
}

function isTouching({ run }: Turn): boolean {
  return !run.abandoned && (run.stage === 'waiting' || run.stage === 'touching');
}

function onHappening(
  task: BridgeTask,
  turn: Turn,
  happening: Extract<BenchEvent, { type: 'happening' }>['happening'],
): boolean {
  const { run } = turn;
  switch (happening.kind) {
    case 'make':
      // light that changed while the device was switched on, or the hands came, is none of its doing
      run.light = [];
      if (run.stage === 'waiting') run.stage = 'touching';
      run.lifted = false;
      return false;
    case 'settling':
      run.progress = happening.progress;
      return false;
    case 'captured':
      if (isTouching(turn)) takeIdle(task, turn, { ...happening, by: 'settled' });
      return false;
    case 'unsteady':
      if (isTouching(turn)) {
        const { window, contact, why } = happening;
        turn.run.kindRun = bridgeRun(turn, { window, contact, by: 'settled' });
        record(task, turn, null, { outcome: 'unsteady', why: `the idle voltage ${why}` });
      }
      return false;
    case 'live':
      if (happening.on) meetLive(turn, 'during');
      return false;
    case 'lift':
      run.lifted = true;
      run.progress = 0;
      if (run.stage === 'touching') run.stage = 'waiting';
      askAfterStanding(turn);
      return leaveWhenLifted(turn);
  }
}

/** Waits, in probe time: for a touch, for the probe's word of the closure, for the light to change. */
function onClock(task: BridgeTask, turn: Turn, tUs: number): void {
  const { run } = turn;
  run.sinceUs ??= tUs;
  if (run.stage === 'waiting' && isOverdue(turn, tUs)) {
    record(task, turn, null, { outcome: 'no-contact', why: 'no-contact' });
    return;
  }
  if (run.kindRun?.kind !== 'bridge') return;
  const { askedUs, closure, hasGap } = run.kindRun;
  if (run.stage === 'closing') {
    run.progress = Math.min(1, Math.max(0, (tUs - askedUs) / (task.check.durationMs * 1000)));
    if (tUs - askedUs > task.check.durationMs * 1000 + wordOverdueUs) {
      record(task, turn, null, { outcome: 'unsteady', why: 'the probe told nothing of the closure' });
    }
    return;
  }
  if (run.stage !== 'asking' || closure === null || !seesLight(turn, task.check)) return;
  const endUs = closure.closedUs + task.check.withinMs * 1000;
  if (lightAfter(run.light, closure.closedUs, endUs) !== null) record(task, turn, { answer: 'yes', by: 'light' });
  // a change that was lost on its way is no 'no'
  else if (tUs > endUs + lightLateUs) record(task, turn, { answer: hasGap ? 'unsure' : 'no', by: 'light' });
}

/** The idle voltage has settled: as wanted, the bridge closes; else that is the outcome. */
function takeIdle(task: BridgeTask, turn: Turn, touch: Omit<Settled, 'reading'>): void {
  const { check, guide } = task;
  const { run } = turn;
  const begun = bridgeRun(turn, touch);
  run.kindRun = begun;
  if (decide(begun.idle.reading, check.idle, guide.rule).outcome !== 'pass') {
    record(task, turn, null);
    return;
  }
  run.stage = 'closing';
  run.progress = 0;
  turn.sound('closing');
  turn.effects.push({ do: 'bridge', durationMs: check.durationMs });
}

function bridgeRun(turn: Turn, { window, contact, by }: Omit<Settled, 'reading'>): BridgeRun {
  const reading = readWindow(window, turn.state.probe!.calibration);
  return {
    kind: 'bridge',
    idle: { window, contact, by, reading },
    askedUs: turn.state.tUs,
    closure: null,
    proof: null,
    hasGap: false,
  };
}

/** The bridge has opened: what was not proven ends here; else whether the device responded is seen or asked. */
function takeClosure(task: BridgeTask, turn: Turn, begun: BridgeRun, closure: NonNullable<BridgeRun['closure']>): void {
  const { check, guide } = task;
  const { durationMs, collapse } = check;
  const how = { durationMs, collapse, rule: guide.rule };
  const proof = proveClosure(begun.idle.reading, closure, how, turn.state.probe!.calibration);
  turn.run.kindRun = { ...begun, closure, proof };
  if (!proof.proven) {
    record(task, turn, null);
    return;
  }
  turn.run.stage = 'asking';
  turn.prompt(questionPrompt(check, proof.why, seesLight(turn, check)));
}

function questionPrompt(check: BridgeCheck, told: string, byLight: boolean): Omit<Prompt, 'id'> {
  const { id, question } = check;
  const seen = `${told.charAt(0).toUpperCase()}${told.slice(1)}.`;
  if (byLight) return { act: 'wait', check: id, text: `${seen}\nKeep the light sensor on the display.` };
  return { act: 'answer', check: id, question, text: `${seen}\n${question} (yes, no or unsure)` };
}

function refusal(status: string): Trouble {
  if (status === 'overVoltage') {
    const why = 'there is more voltage on the pads than a bridge may close (6 V); the bridge was not closed';
    return { outcome: 'live', why };
  }
  return { outcome: 'unsteady', why: `the probe refused to close the bridge (${status})` };
}

/** The display is watched by the probe's light sensor: the guide asks for it, and the probe has one. */
function seesLight(turn: Turn, check: BridgeCheck): boolean {
  return check.answer === 'light' && turn.state.probe?.identity.capabilities.includes('lightSensor') === true;
}

function lightAfter(light: readonly LightChange[], fromUs: number, untilUs: number): LightChange | null {
  return light.find(({ tUs }) => tUs > fromUs && tUs <= untilUs) ?? null;
}

function record(task: BridgeTask, turn: Turn, answered: Answered | null, trouble: Trouble | null = null): void {
  const { check, guide } = task;
  const { run } = turn;
  const probe = turn.state.probe!;
  const begun = run.kindRun?.kind === 'bridge' ? run.kindRun : null;
  const closure = begun?.closure ?? null;
  const closedUs = closure?.closedUs ?? null;
  const byLight = seesLight(turn, check);
  const light = byLight ? [...run.light] : [];
  const before = closedUs !== null && light.some(({ tUs }) => tUs <= closedUs);
  const seen = closedUs === null ? null : lightAfter(light, closedUs, closedUs + check.withinMs * 1000);
  const delayUs = answered?.by === 'light' && seen !== null && closedUs !== null ? seen.tUs - closedUs : null;
  const response = answered === null ? null : { answer: answered.answer, respondedBefore: before, delayUs };
  const judged = begun === null ? null : judgeBridge(begun.idle.reading, check.idle, guide.rule, begun.proof, response);
  run.stage = 'recording';
  turn.append({
    kind: 'bridge',
    check: check.id,
    attempt: turn.nextAttempt(check.id),
    phase: turn.phase,
    power: 'on',
    idle:
      begun === null
        ? null
        : { window: begun.idle.window, contact: begun.idle.contact, reading: storedReading(begun.idle.reading)! },
    limits: check.idle,
    rule: guide.rule,
    durationMs: check.durationMs,
    collapse: check.collapse,
    closed: closure === null ? null : { ...closure, reading: storedReading(begun?.proof?.reading ?? null) },
    proven: begun?.proof?.proven ?? false,
    input: check.input,
    question: check.question,
    answer: answered?.answer ?? null,
    by: answered?.by ?? null,
    respondedBefore: before,
    light,
    withinMs: check.withinMs,
    delayUs,
    probeSerial: probe.identity.probeSerial,
    calibration: probe.calibration.id,
    outcome: trouble?.outcome ?? judged?.outcome ?? 'no-contact',
    why: trouble?.why ?? judged?.why ?? 'no-contact',
  });
}

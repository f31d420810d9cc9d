import type { Guide } from '../../guide/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { foldEntry } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { handlerOf } from '../tasks/registry.ts';
import { accessOf } from './check-order.ts';
import { dueGap, noGaps, takeGap } from './gap-record.ts';
import type { Isolator } from './isolator.ts';
import {
  concludeNow,
  endPause,
  endsTask,
  giveUp,
  jump,
  pause,
  repeat,
  skip,
  steerPaused,
  swap,
} from './job-commands.ts';
import {
  checkInHand,
  type Effect,
  type Ending,
  type JobSessionEvent,
  type JobSessionState,
  type JobSettings,
  latestKept,
} from './job-session-state.ts';
import { JobStep } from './job-step.ts';
import { believeAnew, putNextCheck } from './next-check-planning.ts';
import { type PlanSettings, planTasks, tasksAfterRepair } from './task-list.ts';

/**
 * Returns the state of a session that has not begun: tasks from the guide, less what the job's
 * record already holds.
 */
export function openJobState(
  guide: Guide,
  job: JobState,
  settings: JobSettings,
  isolator: Isolator | null = null,
): JobSessionState {
  const planSettings: PlanSettings = {
    order: isolator === null ? 'guide' : settings.order,
    concludes: isolator !== null,
  };
  return {
    guide,
    settings,
    planSettings,
    isolator,
    insight: null,
    tasks: planTasks(guide, job, planSettings),
    at: 0,
    enough: false,
    because: null,
    tries: 0,
    run: null,
    phase: 'opening',
    connected: false,
    linkText: 'looking for the probe',
    live: false,
    paused: false,
    power: null,
    access: undefined,
    tUs: 0,
    gaps: noGaps,
    probe: null,
    job,
    latest: [],
    asked: null,
    prompts: 0,
    ending: null,
  };
}

/**
 * Returns the next state and what is to be done about it. Pure: the same state and event always
 * give the same.
 */
export function stepJob(
  before: JobSessionState,
  event: JobSessionEvent,
): { state: JobSessionState; effects: Effect[] } {
  const step = new JobStep(before);
  const { state } = step;
  if (event.type === 'asked') return { state: { ...state, asked: event.prompt }, effects: [] };
  if (state.phase === 'closed' || state.phase === 'left') {
    if (event.type === 'appended') takeEntry(state, event.entry);
    return { state, effects: [] };
  }
  note(step, event);
  if (state.phase === 'running' && steer(step, event)) goOn(step);
  if (state.ending !== null) end(step, state.ending);
  return { state, effects: step.effects };
}

/** Keeps what every event says about the session, whatever task is in hand. */
function note(step: JobStep, event: JobSessionEvent): void {
  const { state } = step;
  switch (event.type) {
    case 'connected':
      state.connected = true;
      state.linkText = `probe found on ${event.path}`;
      state.probe = {
        identity: event.identity,
        calibration: event.calibration,
        drift: event.drift,
      };
      step.append({
        kind: 'probe',
        identity: event.identity,
        path: event.path,
        calibration: event.calibration,
        calibrationState: [event.calibrationState, ...(event.drift === null ? [] : [event.drift])].join('; '),
        ...(event.origin === null ? {} : { origin: event.origin }),
      });
      state.phase = 'running';
      if (state.insight === null) believeAnew(step);
      // a try that the link cut short does not count
      if (state.run?.outcome == null) state.tries = Math.max(0, state.tries - 1);
      begin(step);
      return;
    case 'disconnected':
      state.connected = false;
      state.linkText = event.why;
      return;
    case 'gap':
      if (state.run !== null) state.run.lost += event.gap.missing ?? Number.POSITIVE_INFINITY;
      step.appendGap(takeGap(state.gaps, event.gap, state.tUs));
      return;
    case 'clock':
      state.tUs = event.tUs;
      step.appendGap(dueGap(state.gaps, state.tUs));
      return;
    case 'contact':
      if (event.contact.kind === 'live') state.live = event.contact.on;
      return;
    case 'appended':
      learn(step, event.entry);
      return;
    case 'note':
      step.append({ kind: 'note', text: event.text });
      return;
    case 'abandon':
      // before a probe has answered there is no session on record yet: the job is left
      if (state.phase === 'running') state.ending = { kind: 'abandoned', why: event.reason };
      return;
    case 'quit':
      state.ending = { kind: 'left' };
      return;
    default:
      return;
  }
}

/**
 * Takes in an entry that is on record now: what it says of the device, and what a repair makes
 * void.
 */
function learn(step: JobStep, entry: Entry): void {
  const { state } = step;
  takeEntry(state, entry);
  if (entry.kind === 'repair') {
    // whoever repaired had the device in hand: how it stands now nobody knows
    state.power = null;
    state.access = undefined;
    state.enough = false;
    state.tasks = tasksAfterRepair(state.guide, state.job, state.tasks, state.at, state.planSettings);
  }
  if ('attempt' in entry || entry.kind === 'repeat' || entry.kind === 'repair') believeAnew(step);
}

function takeEntry(state: JobSessionState, entry: Entry): void {
  state.job = foldEntry(state.job, entry);
  state.latest = [...state.latest, entry].slice(-latestKept);
}

/** Gives the event to the task in hand; true when the session should go on to what comes next. */
function steer(step: JobStep, event: JobSessionEvent): boolean {
  const { task, state } = step;
  if (task === null || event.type === 'connected') return false;
  if (event.type === 'pause') return steerPause(step, event.on);
  if (!state.connected) return false;
  if (state.paused) return steerPaused(step, event);
  if (step.run.leaving && event.type !== 'appended' && event.type !== 'contact') return false;
  switch (event.type) {
    case 'skip':
      return skip(step, event.reason, event.by);
    case 'repeat':
      return repeat(step, event.by);
    case 'jump':
      return jump(step, event.check);
    case 'conclude':
      return concludeNow(step);
    case 'swapped':
      return swap(step, event.unit, event.by);
    case 'appended':
      if (endsTask(step, event.entry)) return giveUp(step);
      return handlerOf(state.guide, task).on(step, event);
    case 'button':
      if (handlerOf(state.guide, task).takesButton?.(step) === true)
        return handlerOf(state.guide, task).on(step, event);
      if (event.long) return skip(step, 'skipped with the probe button', 'button');
      return event.standing === null ? repeat(step, 'button') : handlerOf(step.state.guide, task).on(step, event);
    default:
      return handlerOf(step.state.guide, task).on(step, event);
  }
}

function steerPause(step: JobStep, on: boolean): boolean {
  const { state } = step;
  if (on === state.paused) return false;
  if (on) {
    pause(step);
    return false;
  }
  // without a probe there is nothing to go on with yet: the task begins when it is back
  if (!state.connected) {
    state.paused = false;
    return false;
  }
  return endPause(step);
}

/** Leaves the task: the same one again, the next one, or the end. */
function goOn(step: JobStep): void {
  const { state } = step;
  if (step.run.again) {
    begin(step);
    return;
  }
  const task = step.task;
  if (task?.kind === 'proof' && task.when === 'opening' && step.run.outcome !== 'pass') {
    state.ending = { kind: 'closed', why: `the probe did not prove itself (${task.what})` };
    return;
  }
  state.at += 1;
  state.tries = 0;
  begin(step);
}

function begin(step: JobStep): void {
  const { state } = step;
  if (state.tries === 0) putNextCheck(step);
  const task = step.task;
  if (task === null) {
    state.ending = { kind: 'closed', why: 'done' };
    return;
  }
  if (state.paused) {
    step.restart();
    return;
  }
  state.tries += 1;
  const check = checkInHand(state);
  if (check !== null) state.access = accessOf(check);
  handlerOf(state.guide, task).start(step);
  if (step.run.stage === 'done') goOn(step);
}

/**
 * Ends the session: a finished or abandoned job is closed on record, a job that was left stays open
 * to be resumed.
 */
function end(step: JobStep, ending: Ending): void {
  const { state } = step;
  step.releaseGaps();
  state.run = null;
  if (ending.kind === 'left') state.phase = 'left';
  else {
    state.phase = 'closed';
    step.effects.push({ do: 'close', ending });
  }
  step.effects.push({ do: 'finish' });
}

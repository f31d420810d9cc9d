import type { Guide } from '../../guide/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { foldEntry } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { handlerOf } from '../tasks/registry.ts';
import { accessOf } from './check-order.ts';
import type { Isolator } from './isolator.ts';
import { concludeNow, endsTask, giveUp, jump, pause, repeat, resume, skip, steerPaused, swap } from './job-commands.ts';
import {
  type BenchEvent,
  type BenchSettings,
  type BenchState,
  checkInHand,
  type Effect,
  type Ending,
} from './job-session-state.ts';
import { believeAnew, putNextCheck } from './next-check-planning.ts';
import { type Course, planTasks, tasksAfterRepair } from './task-list.ts';
import { Turn } from './transition.ts';

/** Returns the state of a session that has not begun: tasks from the guide, less what the job's record already holds. */
export function openBench(
  guide: Guide,
  job: JobState,
  settings: BenchSettings,
  isolator: Isolator | null = null,
): BenchState {
  const course: Course = { order: isolator === null ? 'guide' : settings.order, concludes: isolator !== null };
  return {
    guide,
    settings,
    course,
    isolator,
    insight: null,
    tasks: planTasks(guide, job, course),
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
    probe: null,
    job,
    prompts: 0,
    ending: null,
  };
}

/** Returns the next state and what is to be done about it. Pure: the same state and event always give the same. */
export function stepBench(before: BenchState, event: BenchEvent): { state: BenchState; effects: Effect[] } {
  const turn = new Turn(before);
  const { state } = turn;
  if (state.phase === 'closed' || state.phase === 'left') {
    if (event.type === 'appended') state.job = foldEntry(state.job, event.entry);
    return { state, effects: [] };
  }
  note(turn, event);
  if (state.phase === 'running' && steer(turn, event)) goOn(turn);
  if (state.ending !== null) end(turn, state.ending);
  return { state, effects: turn.effects };
}

/** Keeps what every event says about the session, whatever task is in hand. */
function note(turn: Turn, event: BenchEvent): void {
  const { state } = turn;
  switch (event.type) {
    case 'connected':
      state.connected = true;
      state.linkText = `probe found on ${event.path}`;
      state.probe = {
        identity: event.identity,
        calibration: event.calibration,
        drift: event.drift,
      };
      turn.append({
        kind: 'probe',
        identity: event.identity,
        path: event.path,
        calibration: event.calibration,
        calibrationState: [event.calibrationState, ...(event.drift === null ? [] : [event.drift])].join('; '),
      });
      state.phase = 'running';
      if (state.insight === null) believeAnew(turn);
      // a try that the link cut short does not count
      if (state.run?.outcome == null) state.tries = Math.max(0, state.tries - 1);
      begin(turn);
      return;
    case 'disconnected':
      state.connected = false;
      state.linkText = event.why;
      return;
    case 'gap':
      turn.append(event.gap);
      return;
    case 'clock':
      state.tUs = event.tUs;
      return;
    case 'happening':
      if (event.happening.kind === 'live') state.live = event.happening.on;
      return;
    case 'appended':
      learn(turn, event.entry);
      return;
    case 'note':
      turn.append({ kind: 'note', text: event.text });
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

/** Takes in an entry that is on record now: what it says of the device, and what a repair makes void. */
function learn(turn: Turn, entry: Entry): void {
  const { state } = turn;
  state.job = foldEntry(state.job, entry);
  if (entry.kind === 'repair') {
    // whoever repaired had the device in hand: how it stands now nobody knows
    state.power = null;
    state.access = undefined;
    state.enough = false;
    state.tasks = tasksAfterRepair(state.guide, state.job, state.tasks, state.at, state.course);
  }
  if ('attempt' in entry || entry.kind === 'repeat' || entry.kind === 'repair') believeAnew(turn);
}

/** Gives the event to the task in hand; true when the session should go on to what comes next. */
function steer(turn: Turn, event: BenchEvent): boolean {
  const { task, state } = turn;
  if (task === null || event.type === 'connected') return false;
  if (event.type === 'pause') return steerPause(turn, event.on);
  if (!state.connected) return false;
  if (state.paused) return steerPaused(turn, event);
  if (turn.run.leaving && event.type !== 'appended' && event.type !== 'happening') return false;
  switch (event.type) {
    case 'skip':
      return skip(turn, event.reason, event.by);
    case 'repeat':
      return repeat(turn, event.by);
    case 'jump':
      return jump(turn, event.check);
    case 'conclude':
      return concludeNow(turn);
    case 'swapped':
      return swap(turn, event.unit, event.by);
    case 'appended':
      if (endsTask(turn, event.entry)) return giveUp(turn);
      return handlerOf(state.guide, task).on(turn, event);
    case 'button':
      if (handlerOf(state.guide, task).takesButton?.(turn) === true)
        return handlerOf(state.guide, task).on(turn, event);
      if (event.long) return skip(turn, 'skipped with the probe button', 'button');
      return event.standing === null ? repeat(turn, 'button') : handlerOf(turn.state.guide, task).on(turn, event);
    default:
      return handlerOf(turn.state.guide, task).on(turn, event);
  }
}

function steerPause(turn: Turn, on: boolean): boolean {
  const { state } = turn;
  if (on === state.paused) return false;
  if (on) {
    pause(turn);
    return false;
  }
  // without a probe there is nothing to go on with yet: the task begins when it is back
  if (!state.connected) {
    state.paused = false;
    return false;
  }
  return resume(turn);
}

/** Leaves the task: the same one again, the next one, or the end. */
function goOn(turn: Turn): void {
  const { state } = turn;
  if (turn.run.again) {
    begin(turn);
    return;
  }
  const task = turn.task;
  if (task?.kind === 'proof' && task.when === 'opening' && turn.run.outcome !== 'pass') {
    state.ending = { kind: 'closed', why: `the probe did not prove itself (${task.what})` };
    return;
  }
  state.at += 1;
  state.tries = 0;
  begin(turn);
}

function begin(turn: Turn): void {
  const { state } = turn;
  if (state.tries === 0) putNextCheck(turn);
  const task = turn.task;
  if (task === null) {
    state.ending = { kind: 'closed', why: 'done' };
    return;
  }
  if (state.paused) {
    turn.restart();
    return;
  }
  state.tries += 1;
  const check = checkInHand(state);
  if (check !== null) state.access = accessOf(check);
  handlerOf(state.guide, task).start(turn);
  if (turn.run.stage === 'done') goOn(turn);
}

/** Ends the session: a finished or abandoned job is closed on record, a job that was left stays open to be resumed. */
function end(turn: Turn, ending: Ending): void {
  const { state } = turn;
  state.run = null;
  if (ending.kind === 'left') state.phase = 'left';
  else {
    state.phase = 'closed';
    turn.effects.push({ do: 'close', ending });
  }
  turn.effects.push({ do: 'finish' });
}

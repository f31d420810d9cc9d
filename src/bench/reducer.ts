import type { Guide } from '../guide/types.ts';
import { foldEntry } from '../job/fold.ts';
import type { JobState } from '../job/job-state.ts';
import { planTasks } from './plan.ts';
import type { BenchEvent, BenchSettings, BenchState, Effect } from './state.ts';
import { handlerOf } from './tasks/registry.ts';
import { Turn } from './turn.ts';

/** Returns the state of a session that has not begun: tasks from the guide, less what the job's record already holds. */
export function openBench(guide: Guide, job: JobState, settings: BenchSettings): BenchState {
  return {
    guide,
    settings,
    tasks: planTasks(guide, job),
    at: 0,
    tries: 0,
    run: null,
    phase: 'opening',
    connected: false,
    linkText: 'looking for the probe',
    live: false,
    power: null,
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
  if (state.phase === 'running' && state.connected && steer(turn, event)) goOn(turn);
  if (state.ending !== null) end(turn);
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
        calibrationState: event.calibrationState,
      };
      turn.append({
        kind: 'probe',
        identity: event.identity,
        path: event.path,
        calibration: event.calibration,
        calibrationState: event.calibrationState,
      });
      state.phase = 'running';
      begin(turn);
      return;
    case 'disconnected':
      state.connected = false;
      state.linkText = event.why;
      return;
    case 'gap': {
      const { cause, missing, fromUs, toUs, text } = event;
      turn.append({ kind: 'gap', cause, missing, fromUs, toUs, text });
      return;
    }
    case 'clock':
      state.tUs = event.tUs;
      return;
    case 'happening':
      if (event.happening.kind === 'live') state.live = event.happening.on;
      return;
    case 'appended':
      state.job = foldEntry(state.job, event.entry);
      return;
    case 'note':
      turn.append({ kind: 'note', text: event.text });
      return;
    case 'quit':
      state.ending = 'left by the person';
      return;
    default:
      return;
  }
}

/** Gives the event to the task in hand; true when the session should go on to what comes next. */
function steer(turn: Turn, event: BenchEvent): boolean {
  const task = turn.task;
  if (task === null || event.type === 'connected') return false;
  if (event.type === 'button' && event.long) return skip(turn, 'skipped with the probe button', 'button');
  if (event.type === 'skip') return skip(turn, event.reason, event.by);
  const wantsAgain = event.type === 'repeat' || (event.type === 'button' && event.standing === null);
  if (wantsAgain) {
    const by = event.type === 'repeat' ? event.by : 'button';
    return repeat(turn, by);
  }
  return handlerOf(turn.state.guide, task).on(turn, event);
}

function skip(turn: Turn, reason: string, by: 'person' | 'button' | 'hands' | 'option'): boolean {
  const task = turn.task;
  if (task?.kind !== 'check' || turn.run.stage === 'recording') return false;
  turn.append({ kind: 'skipped', check: task.id, reason, by });
  turn.run.again = false;
  turn.run.stage = 'lifting';
  if (!turn.run.lifted) turn.prompt({ act: 'lift', text: 'Lift the tips.' });
  return turn.run.lifted;
}

function repeat(turn: Turn, by: 'person' | 'button' | 'hands' | 'option'): boolean {
  const task = turn.task;
  if (task?.kind !== 'check' || turn.run.stage === 'recording') return false;
  turn.append({ kind: 'repeat', check: task.id, by });
  if (turn.run.stage === 'lifting') {
    turn.run.again = true;
    return turn.run.lifted;
  }
  turn.run.again = true;
  return true;
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
    state.ending = `the probe did not prove itself (${task.what})`;
    return;
  }
  state.at += 1;
  state.tries = 0;
  begin(turn);
}

function begin(turn: Turn): void {
  const { state } = turn;
  const task = turn.task;
  if (task === null) {
    state.ending = 'done';
    return;
  }
  state.tries += 1;
  handlerOf(state.guide, task).start(turn);
}

/** Ends the session: a finished or abandoned job is closed on record, a job that was left stays open to be resumed. */
function end(turn: Turn): void {
  const { state } = turn;
  state.run = null;
  if (state.ending === 'left by the person') {
    state.phase = 'left';
  } else {
    state.phase = 'closed';
    turn.effects.push({ do: 'close', why: state.ending ?? 'done' });
  }
  turn.effects.push({ do: 'finish' });
}

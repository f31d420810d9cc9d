import type { Turn } from '../job/transition.ts';

/** A probe that refused to measure because of a voltage on its tips is asked again this often, in probe time. */
const askAgainUs = 250_000;

/**
 * A voltage where none may be: on record, said, and the task waits until the tips are off it.
 *
 * `before`: the probe has refused the mode, so no reading will tell when the voltage goes; {@link askRefusedAgain} finds out.
 */
export function meetLive(turn: Turn, where: 'before' | 'during'): void {
  const run = turn.run;
  if (where === 'before') run.refusedUs = turn.state.tUs;
  if (run.stage === 'live') return;
  run.stage = 'live';
  run.again = true;
  turn.state.power = null;
  const task = turn.task;
  turn.append({ kind: 'live', tUs: turn.state.tUs, volt: null, check: task?.kind === 'check' ? task.id : null, where });
  turn.sound('live');
  turn.prompt({ act: 'lift', why: 'live' });
}

/** Returns true when it is time to ask a probe again that has refused the mode of the task in hand. */
export function askRefusedAgain(turn: Turn, tUs: number): boolean {
  const run = turn.run;
  if (run.refusedUs === null || tUs - run.refusedUs < askAgainUs) return false;
  run.refusedUs = tUs;
  return true;
}

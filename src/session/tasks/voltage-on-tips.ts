import type { JobStep } from '../job/job-step.ts';

/**
 * A probe that refused to measure because of a voltage on its tips is asked again this often, in
 * probe time.
 */
const askAgainUs = 250_000;

/**
 * A voltage where none may be: on record, said, and the task waits until the tips are off it.
 *
 * `before`: the probe has refused the mode, so no reading will tell when the voltage goes; {@link
 * askRefusedAgain} finds out.
 */
export function meetLive(step: JobStep, where: 'before' | 'during'): void {
  const run = step.run;
  if (where === 'before') run.refusedUs = step.state.tUs;
  if (run.stage === 'live') return;
  run.stage = 'live';
  run.again = true;
  step.state.power = null;
  const task = step.task;
  step.append({ kind: 'live', tUs: step.state.tUs, volt: null, check: task?.kind === 'check' ? task.id : null, where });
  step.sound('live');
  step.prompt({ act: 'lift', why: 'live' });
}

/**
 * Returns true when it is time to ask a probe again that has refused the mode of the task in hand.
 */
export function askRefusedAgain(step: JobStep, tUs: number): boolean {
  const run = step.run;
  if (run.refusedUs === null || tUs - run.refusedUs < askAgainUs) return false;
  run.refusedUs = tUs;
  return true;
}

import type { Outcome } from '../measure/types.ts';
import type { BenchState, Stage } from './state.ts';

/** One check as the list beside the reading shows it. */
export interface CheckLine {
  id: string;
  title: string;
  outcome: Outcome | 'skipped' | null;
  attempts: number;
  current: boolean;
}

/** What a person sees of a session; the live screen and the plain lines are fed by the same one. */
export interface BenchView {
  job: string;
  device: string;
  phase: BenchState['phase'];
  taskTitle: string;
  stage: Stage | null;
  ask: string | null;
  outcome: Outcome | null;
  live: boolean;
  connected: boolean;
  linkText: string;
  calibrationText: string;
  progress: number;
  checks: CheckLine[];
  ending: string | null;
}

/** Returns the view of a state. Pure. */
export function viewOf(state: BenchState): BenchView {
  const task = state.tasks[state.at] ?? null;
  const { device } = state.guide;
  return {
    job: state.job.job ?? '',
    device: `${device.maker} ${device.name}`,
    phase: state.phase,
    taskTitle: task === null ? '' : taskTitle(state, task),
    stage: state.run?.stage ?? null,
    ask: state.run?.prompt?.text ?? null,
    outcome: state.run?.outcome ?? null,
    live: state.live,
    connected: state.connected,
    linkText: state.linkText,
    calibrationText: state.probe?.calibrationState ?? '',
    progress: state.run?.progress ?? 0,
    checks: state.guide.checks.map((check) => {
      const seen = state.job.checks[check.id];
      return {
        id: check.id,
        title: check.title,
        outcome: seen === undefined ? null : seen.skipped !== null ? 'skipped' : seen.outcome,
        attempts: seen?.attempts.length ?? 0,
        current: task?.kind === 'check' && task.id === check.id,
      };
    }),
    ending: state.ending,
  };
}

function taskTitle(state: BenchState, task: BenchState['tasks'][number]): string {
  switch (task.kind) {
    case 'caution':
      return `caution ${task.id}`;
    case 'proof':
      return `${task.when} proof, ${task.what}`;
    case 'check':
      return state.guide.checks.find((c) => c.id === task.id)?.title ?? task.id;
  }
}

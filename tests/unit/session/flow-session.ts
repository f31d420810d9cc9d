import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { captured, type DryBench, make, testGuide } from '../../support/dry-bench.ts';
import { DrySession } from '../faces/scenes.ts';
import { madeIsolator } from './made-isolator.ts';

export const jump = (check: string): JobSessionEvent => ({ type: 'jump', check });
export const choose = (repair: string | null): JobSessionEvent => ({ type: 'choose', repair, by: 'person' });

/** A session in the order of information: checks come as the made isolator has them. */
export function drySession(order: string[], settings: Record<string, unknown> = {}, wanted?: number) {
  const { isolator, asked } = madeIsolator(order, wanted);
  const at = new DrySession(testGuide(), { isolator, settings: { order: 'information', ...settings } });
  return { at: at.opened(), bench: at.bench, asked };
}
export const inHand = ({ state }: DryBench): string => {
  const task = state.tasks[state.at];
  if (task === undefined) return 'nothing';
  return task.kind === 'check' ? task.id : task.kind === 'proof' ? task.what : task.kind;
};
/** Both closing proofs. */
export const prove = (bench: DryBench): DryBench => bench.touch(0.002).happen(make, captured(100));
export const kindsFrom = (bench: DryBench, kind: string): string[] => bench.kinds().slice(bench.kinds().indexOf(kind));

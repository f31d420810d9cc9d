import type { EntryOf } from '../../record/entries/entries.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import type { Say } from '../finding.ts';

/** What opens a job or adds to it. */
export type Begun = EntryOf<'opened'> | EntryOf<'addendum'>;

/** Tells where a job on the emulated probe would pass for a real one. */
export function verifyEmulated(entry: Begun | EntryOf<'probe'>, begun: Begun, say: Say): void {
  if (begun.format < 2) return;
  const isMarked = begun.emulated === true;
  if (entry.kind !== 'probe') {
    if (isMarked && begun.bench !== undefined)
      say('emulated.bench', 'a job on the emulated probe has a number among the real ones of its bench');
    return;
  }
  if ((entry.path === simulatedPort) !== isMarked)
    say(
      'emulated.mark',
      `the probe is ${isMarked ? 'not ' : ''}the emulated one, and the job is ${isMarked ? '' : 'not '}marked so`,
    );
}

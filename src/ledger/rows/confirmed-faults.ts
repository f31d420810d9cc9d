import { parseGuide } from '../../checks/guides.ts';
import { believe } from '../../isolate/belief/belief.ts';
import { openModel } from '../../isolate/predict/model.ts';
import { type ConfirmedFault, confirmedBy } from '../../isolate/suspects/prior-counts.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { historyOf } from '../../record/state/evidence-history.ts';
import type { JobState } from '../../record/state/job-state.ts';

/** The faults that a job confirms, or why it confirms none. */
export interface Confirmation {
  faults: ConfirmedFault[];
  why: string | null;
}

/**
 * Returns the faults that the last repair of a job confirms, by the guide in its record: a guide may
 * have been mended since. Whether the record verifies is for the caller to know.
 */
export function confirmedFaults(state: JobState): Confirmation {
  const none = (why: string): Confirmation => ({ faults: [], why });
  const { opened } = state;
  if (opened === null) return none('the record is not whole');
  if (state.closed === null) return none('it is still open');
  // whether a repair of an earlier visit had helped, the device's return leaves open
  const last = repairsNow(state).at(-1);
  if (state.result !== 'repaired' || last === undefined) return none(`its result is '${state.result}'`);
  if (last.repair === null) return none('a unit was swapped, which repair it amounts to is not on record');
  const own = parseGuide(opened.guide.text, 'the guide in the record');
  if (!own.ok) return none('the guide in it can no longer be read');
  const { evidence, repaired } = historyOf(state);
  const belief = believe(openModel(own.guide), evidence.slice(0, repaired.at(-1)?.after), repaired.slice(0, -1));
  if (!('decisions' in belief)) return none(belief.what);
  const faults = confirmedBy(own.guide, belief, last.repair);
  return faults.length === 0 ? none(`its repair '${last.repair}' fits none of its suspects`) : { faults, why: null };
}

import type { Guide } from '../../guide/types.ts';
import { decisionOf } from '../../isolate/suspects/suspects.ts';
import type { JobState } from '../../record/state/job-state.ts';

/**
 * Returns the ids of the units and links at which the fault was found; of a group, all that it may
 * be. Empty where no place was named.
 */
export function foundAt(guide: Guide, { found }: Pick<JobState, 'found'>): string[] {
  if (found === null) return [];
  const places = found.decisions.flatMap(({ id }) => id.split(' + '));
  const links = guide.links.filter((link) => link.unit === null && places.includes(decisionOf(guide, link)));
  return [...guide.units.filter(({ id }) => places.includes(id)), ...links].map(({ id }) => id);
}

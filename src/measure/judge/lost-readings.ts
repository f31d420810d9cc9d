/**
 * Share of a touch's readings that may be lost before nothing is decided on it (a choice of this
 * program, no source): a bounce or a drop-out among more than that would not be seen.
 */
const mostLostShare = 0.1;

/**
 * Returns whether too many readings of a touch were lost for its outcome to be relied on.
 *
 * @param lost readings known to be missing from the touch; infinite: how many is not known
 * @param touchUs length of the touch, in microseconds
 * @param periodUs time of one reading, in microseconds
 */
export function isTooMuchLost(lost: number, touchUs: number, periodUs: number): boolean {
  return lost > (mostLostShare * touchUs) / periodUs;
}

import type { LocalClock } from '../../ports/local-clock.ts';

/** What a shop prints on its papers, and on what. It is no evidence: no record holds it. */
export interface Letterhead {
  name?: string | undefined;
  /** May have several lines. */
  address?: string | undefined;
  paper?: 'A4' | 'letter';
  /** Whose times the paper tells; absent: UTC, as the record has them. */
  clock?: LocalClock;
}

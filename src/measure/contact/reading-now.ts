import type { ContactSettings } from '../types.ts';
import type { PathChange, PathState } from './path-state.ts';
import type { RangeModel } from './range-models.ts';

/** One reading as the steps of a touch look at it. One object serves a whole batch, so nothing is allocated for each. */
export interface ReadingNow {
  tUs: number;
  code: number;
  /** The tips are on something. */
  contact: boolean;
  /** They are joined: the path is closed, or a voltage is read. */
  joined: boolean;
  /** What this reading did to the path. */
  change: PathChange;
  /** Nothing is measured: live, or without excitation. */
  readonly blind: boolean;
  readonly model: RangeModel | null;
  readonly path: PathState;
  readonly settings: ContactSettings;
}

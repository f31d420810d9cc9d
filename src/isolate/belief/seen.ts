import type { Guide } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { ChannelCell } from '../suspects/scale.ts';

/** What a likelihood is worked out under. */
export interface Frame {
  guide: Guide;
  rules: IsolationRules;
}

/**
 * What a check sees under one hypothesis: a cell for each of its channels, and whether eyes see the
 * fault.
 */
export interface Seen {
  cells: readonly ChannelCell[];
  isSeen: boolean;
  /** The input never answers. */
  isMute?: boolean;
  /** Something unknown may show in it. */
  isAny?: boolean;
}

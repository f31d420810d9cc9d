import { checkKinds } from '../../checks/registry.ts';
import { type StoredKind, windowOf } from './stored-kind.ts';

/** A settled touch, and the hold after it. */
export const storedSteady: StoredKind<'steady'> = {
  entry: 'steady',
  isMeasured: true,
  source: ({ capture }) => capture,
  shown: ({ reading, limits, why }) => ({ reading, limits, why }),
  windows: ({ capture }) => windowOf('resistance', capture),
  evidence: checkKinds.steady.evidence,
};

import { checkKinds } from '../../checks/registry.ts';
import { type StoredKind, windowOf } from './stored-kind.ts';

/** One touch at the dry and at the normal level. */
export const storedDryNormal: StoredKind<'levels'> = {
  entry: 'levels',
  isMeasured: true,
  source: ({ dry }) => dry?.capture ?? null,
  shown: ({ normal, limits, why }) => ({ reading: normal?.reading ?? null, limits, why }),
  windows: ({ dry, normal }) => [
    ...windowOf('resistance', dry?.capture, 'dry'),
    ...windowOf('resistance', normal?.capture, 'normal'),
  ],
  evidence: checkKinds['dry-normal'].evidence,
};

import { checkKinds } from '../../checks/registry.ts';
import type { StoredKind } from './stored-kind.ts';

/** What a person answered. */
export const storedLook: StoredKind<'observation'> = {
  entry: 'observation',
  isMeasured: false,
  source: () => null,
  shown: ({ answer }) => ({ reading: null, limits: null, why: `answered ${answer}` }),
  windows: () => [],
  evidence: checkKinds.look.evidence,
};

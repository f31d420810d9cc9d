import { checkKinds } from '../../checks/registry.ts';
import { type StoredKind, windowOf } from './stored-kind.ts';

/** A run of presses, each with the window of its closure. */
export const storedPresses: StoredKind<'presses'> = {
  entry: 'presses',
  isMeasured: true,
  source: (entry) => entry,
  shown: ({ limits, why }) => ({ reading: null, limits, why }),
  windows: ({ presses, calibration }) =>
    presses.flatMap(({ window }, i) =>
      windowOf('resistance', window === null ? null : { window, calibration }, `press ${i + 1}`),
    ),
  evidence: checkKinds.presses.evidence,
};

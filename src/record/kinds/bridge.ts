import { checkKinds } from '../../checks/registry.ts';
import { type StoredKind, windowOf } from './stored-kind.ts';

/** The idle voltage, and what was read while the probe joined the pads. */
export const storedBridge: StoredKind<'bridge'> = {
  entry: 'bridge',
  isMeasured: true,
  source: (entry) => entry,
  shown: ({ idle, limits, why }) => ({ reading: idle?.reading ?? null, limits, why }),
  windows: ({ idle, closed, calibration }) => [
    ...windowOf('voltage', idle === null ? null : { window: idle.window, calibration }, 'idle'),
    ...(closed?.windows ?? []).flatMap((window) =>
      windowOf('voltage', { window, calibration }, `closed from ${window.tUs} us`),
    ),
  ],
  evidence: checkKinds.bridge.evidence,
};

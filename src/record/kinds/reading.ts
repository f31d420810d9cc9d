import { checkKinds } from '../../checks/registry.ts';
import type { Quantity } from '../../measure/types.ts';
import { type StoredKind, windowOf } from './stored-kind.ts';

/** One touch that is read once it has settled. */
const stored = {
  entry: 'capture',
  isMeasured: true,
  source: ({ capture }) => capture,
  shown: ({ reading, limits, why }) => ({ reading, limits, why }),
  windows: ({ quantity, capture }) => windowOf(quantity, capture),
} satisfies Omit<StoredKind<'capture'>, 'evidence'>;

/** Attempts at checks of one quantity; both are stored as captures. */
const storedReading = (quantity: Quantity): StoredKind<'capture'> => ({
  ...stored,
  evidence: checkKinds[quantity].evidence,
});

export const storedResistance = storedReading('resistance');
export const storedVoltage = storedReading('voltage');

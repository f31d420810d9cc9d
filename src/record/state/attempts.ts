import type { Entry } from '../entries/entries.ts';
import { type AttemptEntry, type ByKind, isAttempt, ofKind } from '../entries/stored-kinds.ts';
import type { AttemptResult } from './job-state.ts';

/** Which probe took the raw codes of an entry, and under which calibration. */
export interface Source {
  probeSerial: number;
  calibration: string;
}

/** What the fold takes from an attempt of a kind. */
interface Taken extends Pick<AttemptResult, 'reading' | 'limits' | 'why'> {
  /** Null where no codes stand. */
  source: Source | null;
}

const takenBy: ByKind<Taken> = {
  resistance: ({ capture, reading, limits, why }) => ({ source: capture, reading, limits, why }),
  voltage: ({ capture, reading, limits, why }) => ({ source: capture, reading, limits, why }),
  look: ({ answer }) => ({ source: null, reading: null, limits: null, why: `answered ${answer}` }),
  presses: (entry) => ({ source: entry, reading: null, limits: entry.limits, why: entry.why }),
  bridge: (entry) => ({ source: entry, reading: entry.idle?.reading ?? null, limits: entry.limits, why: entry.why }),
  'dry-normal': ({ dry, normal, limits, why }) => ({
    source: dry?.capture ?? null,
    reading: normal?.reading ?? null,
    limits,
    why,
  }),
  steady: ({ capture, reading, limits, why }) => ({ source: capture, reading, limits, why }),
};

/** Returns what the fold takes from an attempt. */
export function takenFrom(entry: AttemptEntry): Taken {
  return ofKind(takenBy, entry);
}

/** Returns where the raw codes of an entry come from; null for an entry without any. */
export function codesOf(entry: Entry): Source | null {
  if (entry.kind === 'proof') return entry.capture;
  return isAttempt(entry) ? takenFrom(entry).source : null;
}

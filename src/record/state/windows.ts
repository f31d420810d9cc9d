import type { CaptureWindow } from '../../measure/types.ts';
import type { Entry } from '../entries/entries.ts';
import { type ByKind, isAttempt, ofKind } from '../entries/stored-kinds.ts';

type Captured = { capture: { window: CaptureWindow } | null };

const captured = ({ capture }: Captured): CaptureWindow[] => (capture === null ? [] : [capture.window]);

/** The windows of raw codes of an attempt, for each kind of check. */
const attemptWindows: ByKind<CaptureWindow[]> = {
  resistance: captured,
  voltage: captured,
  look: () => [],
  presses: ({ presses }) => presses.flatMap(({ window }) => window ?? []),
  bridge: ({ idle, closed }) => [...(idle === null ? [] : [idle.window]), ...(closed?.windows ?? [])],
  'dry-normal': ({ dry, normal }) => [dry, normal].flatMap((level) => level?.capture.window ?? []),
  steady: captured,
};

/** Returns every window of raw codes that stands in an entry, in their order. */
export function windowsIn(entry: Entry): CaptureWindow[] {
  if (entry.kind === 'proof') return captured(entry);
  return isAttempt(entry) ? ofKind(attemptWindows, entry) : [];
}

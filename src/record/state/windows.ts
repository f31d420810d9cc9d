import type { CaptureWindow } from '../../measure/types.ts';
import type { Entry } from '../entries/entries.ts';

/** Returns every window of raw codes that stands in an entry, in their order. */
export function windowsIn(entry: Entry): CaptureWindow[] {
  switch (entry.kind) {
    case 'capture':
    case 'proof':
    case 'steady':
      return entry.capture === null ? [] : [entry.capture.window];
    case 'levels':
      return [entry.dry, entry.normal].flatMap((level) => level?.capture.window ?? []);
    case 'presses':
      return entry.presses.flatMap(({ window }) => window ?? []);
    case 'bridge':
      return [...(entry.idle === null ? [] : [entry.idle.window]), ...(entry.closed?.windows ?? [])];
    default:
      return [];
  }
}

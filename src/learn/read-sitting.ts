import type { ReadTouch } from './fit-links.ts';
import type { SittingTouch } from './sitting-plan.ts';

/** What a touch came to, as a record has it. */
export interface SittingReading {
  value: number;
  u: number;
  isOpen: boolean;
  hasFailed: boolean;
}

/** A sitting as it was read. */
export interface SittingRead {
  read: ReadTouch[];
  /** Voltages at rest, by touch id. */
  volts: Map<string, number>;
  /** Touches that came to nothing: not done, unsteady, no contact. */
  missing: string[];
}

/** What reads more than this is open: the end of the probe's range. */
const openFromOhm = 10e6;

/** Returns what the touches of a sitting read; `readingOf` gives null for one that came to nothing. */
export function readSitting(
  touches: ReadonlyMap<string, SittingTouch>,
  readingOf: (id: string) => SittingReading | null,
): SittingRead {
  const sitting: SittingRead = { read: [], volts: new Map(), missing: [] };
  for (const [id, touch] of touches) {
    const reading = readingOf(id);
    if (reading === null) sitting.missing.push(id);
    else if (touch.what === 'volt') sitting.volts.set(id, reading.value);
    else {
      const { value, u, hasFailed } = reading;
      const isOpen = reading.isOpen || value > openFromOhm;
      // what is held wanders: it says whether the path holds, not how many ohms
      if (touch.what !== 'steady' || hasFailed) sitting.read.push({ id, touch, ohm: value, u, isOpen, hasFailed });
    }
  }
  return sitting;
}

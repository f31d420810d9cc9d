import type { EntryOf } from '../../record/entries/entries.ts';
import type { JobSessionState } from '../../session/job/job-session-state.ts';
import { plainLine } from '../text/plain-line.ts';

/** Returns how the link of a job stands: as one plain line, and as a sentence for the screen. */
export function linkWords({ connected, linkText }: Pick<JobSessionState, 'connected' | 'linkText'>) {
  const text = plainLine(linkText);
  if (connected) return { line: `link: ${text}`, sentence: text };
  return {
    line: `link: ${text}; the job is kept, looking for the probe again`,
    sentence: `${text}. The job is kept; the probe is looked for, and this check is asked for again.`,
  };
}

/**
 * Returns what was counted on the line between probe and host, as one line; only what is not zero
 * is told.
 */
export function linkLine({ counters }: EntryOf<'link'>): string {
  const told = Object.entries(counters).flatMap(([name, count]) => {
    const parts = typeof count === 'number' ? [[name, count] as const] : Object.entries(count);
    return parts.filter(([, number]) => number !== 0).map(([part, number]) => `${number} ${inWords(part)}`);
  });
  return `counted on the line: ${told.length === 0 ? 'nothing' : told.join(', ')}`;
}

/** `lostReadings` as `lost readings`. */
function inWords(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

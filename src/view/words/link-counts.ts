import type { EntryOf } from '../../record/entries/entries.ts';

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

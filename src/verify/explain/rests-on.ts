import type { RecordLine } from '../../record/chain/parse-record.ts';
import { isAttempt } from '../../record/kinds/stored-kinds.ts';

/** Something that a record rests on and that nobody can work out again, with the entries it is in. */
export interface RestsOn {
  what: RestingOn;
  from: number[];
}

/**
 * `clock`: the times of the host. `device`: the device on the bench was the one that is named.
 * `tips`: they stood where the prompt said. `answers`: what a person saw. `presses`: the key was
 * pressed as asked. `repairs`: what was said to be done was done. `probe`: the converter's codes are
 * those of the tips. `calibration-file`: only the digest of the host's file stands here. `key`: whose
 * the key is, and that its holder did not invent codes.
 */
export type RestingOn =
  | 'clock'
  | 'device'
  | 'tips'
  | 'answers'
  | 'presses'
  | 'repairs'
  | 'probe'
  | 'calibration-file'
  | 'key';

/** Returns what a record rests on, as far as its entries have to do with it. */
export function restsOn(lines: readonly RecordLine[]): RestsOn[] {
  const found = new Map<RestingOn, number[]>();
  const add = (what: RestingOn, n: number): void => void found.set(what, [...(found.get(what) ?? []), n]);
  for (const { entry } of lines) {
    const { n } = entry;
    if (entry.kind === 'opened' || entry.kind === 'addendum') {
      add('clock', n);
      add('device', n);
    }
    if (entry.kind === 'probe') {
      add('probe', n);
      if (entry.origin?.of === 'file' || (entry.origin === undefined && entry.calibration.source === 'file'))
        add('calibration-file', n);
    }
    if (entry.kind === 'repair') add('repairs', n);
    if (entry.kind === 'signed') add('key', n);
    if (entry.kind === 'presses') add('presses', n);
    if (entry.kind === 'observation' || (entry.kind === 'bridge' && entry.answer !== null && entry.by !== 'light'))
      add('answers', n);
    if (isAttempt(entry) && entry.kind !== 'observation') add('tips', n);
  }
  return [...found].map(([what, from]) => ({ what, from }));
}

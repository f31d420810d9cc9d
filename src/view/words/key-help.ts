import { type Mark, markMeanings } from './mark.ts';

/** One part of a help: pairs of a key, a move of the hands or a mark, and what it does or says. */
export type HelpSection =
  | { heading: string; pairs: readonly (readonly [left: string, right: string])[] }
  | { heading: string; marks: readonly (readonly [mark: Mark, meaning: string])[] };

/** A help, and which of its pages is looked at; a face has as many pages as it needs, and begins anew after the last. */
export interface HelpView {
  sections: readonly HelpSection[];
  page: number;
}

/** Keys of the live screen with what each does, in the order in which they are shown. */
const benchKeys: readonly [key: string, what: string][] = [
  ['y  n  u', 'answer what is asked: yes, no, unsure'],
  ['r', 'repeat the check in hand'],
  ['b', 'back: the check that was done last once more'],
  ['s', 'skip it, with a reason that you type'],
  ['w', 'write a note into the record'],
  ['c', 'choose a check: up, down, Enter; Esc goes back'],
  ['e', 'enough checks: draw the conclusion now'],
  ['x', 'a unit was swapped: choose which likewise'],
  ['1 .. 9  0', 'a repair of the conclusion; no repair'],
  ['p', 'pause; again: go on'],
  ['a', 'abandon the job for good, with a reason'],
  ['?', 'these keys, then the marks'],
  ['q', 'leave; the job stays open and can be resumed'],
  ['Ctrl-C', 'leave at once'],
];

/** What the hands do without the keyboard. */
const handsHelp: readonly [what: string, then: string][] = [
  ['touch and hold still', 'it is read by itself, with a tone'],
  ['lift the tips', 'the bench goes on'],
  ["probe's button, short", 'repeats the check'],
  ["probe's button, long", 'skips it'],
];

/** Keys of the meter screen. */
export const meterKeys: readonly [key: string, what: string][] = [
  ['h', 'hold the reading; again: let it run'],
  ['m', 'measure something else: ohms, ohms at the dry level, volts'],
  ['z', 'begin the statistics anew'],
  ['u', 'what the uncertainty is made of; again: the trace'],
  ['e', 'export what was seen'],
  ['?', 'these keys'],
  ['q', 'leave'],
];

const marksHelp: HelpSection = { heading: 'Marks', marks: Object.entries(markMeanings) as [Mark, string][] };

/** The help of a job's screen. */
export const benchHelp: readonly HelpSection[] = [
  { heading: 'Keys', pairs: benchKeys },
  { heading: 'Without the keyboard', pairs: handsHelp },
  marksHelp,
];

/** The help of a calibration's screen; `keys` are its own. */
export function calibrationHelp(keys: readonly (readonly [string, string])[]): readonly HelpSection[] {
  return [
    { heading: 'Keys', pairs: keys },
    { heading: 'Without the keyboard', pairs: [['touch, hold still', 'read by itself, until the tone']] },
    marksHelp,
  ];
}

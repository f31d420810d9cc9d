/** Keys of the live screen with what each does, in the order in which they are shown. */
export const benchKeys: readonly [key: string, what: string][] = [
  ['y  n  u', 'answer what is asked: yes, no, unsure'],
  ['r', 'repeat the check in hand'],
  ['s', 'skip it, with a reason that you type'],
  ['w', 'write a note into the record'],
  ['c', 'choose a check from the list (up, down, Enter; Esc goes back)'],
  ['e', 'enough checks: draw the conclusion now'],
  ['x', 'a unit was swapped: choose which (up, down, Enter)'],
  ['1 .. 9  0', 'a repair of the conclusion; no repair'],
  ['p', 'pause; again: go on'],
  ['a', 'abandon the job for good, with a reason that you type'],
  ['?', 'these keys'],
  ['q', 'leave; the job stays open and can be resumed'],
  ['Ctrl-C', 'leave at once'],
];

/** What the hands do without the keyboard. */
export const handsHelp: readonly [what: string, then: string][] = [
  ['touch and hold still', 'the reading is taken by itself, with a tone'],
  ['lift the tips', 'the bench goes on'],
  ["probe's button, short", 'repeats the check'],
  ["probe's button, long", 'skips it'],
];

/** Keys of the meter screen. */
export const meterKeys: readonly [key: string, what: string][] = [
  ['h', 'hold the reading; again: let it run'],
  ['z', 'begin the statistics anew'],
  ['u', 'what the uncertainty is made of; again: the trace'],
  ['e', 'export what was seen'],
  ['?', 'these keys'],
  ['q', 'leave'],
];

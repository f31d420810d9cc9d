/** One key as the terminal gave it. */
export interface KeyPress {
  /** The character, or what was pasted; empty for keys without one. */
  input: string;
  escape?: boolean;
  return?: boolean;
  backspace?: boolean;
  up?: boolean;
  down?: boolean;
  ctrl?: boolean;
}

/** What the keyboard is doing with the screen; the session knows nothing of it. */
export interface UiState {
  /** `line`: keys go into a line of text. `list`: the cursor is in the list of checks. `leave`: leaving is to be confirmed.
   * `swap`: the unit that was swapped is being chosen. */
  mode: 'plain' | 'line' | 'list' | 'help' | 'leave' | 'swap';
  line: TypedLine | null;
  /** Check under the cursor of the list; null while the list is not in use. */
  cursor: string | null;
  /** Unit that is about to be put down as swapped; null while none is. */
  unit: string | null;
  /** What has been typed of the name of the caution that is asked about. */
  named: string;
  /** Page of the help, from 0. */
  page: number;
  /** What the last key came to, when that is not to be seen otherwise. */
  message: string | null;
}

/** A line that is being typed: why a check is skipped, a note, or why the job is abandoned. */
export interface TypedLine {
  what: 'skip' | 'note' | 'abandon';
  text: string;
  /** The check that is skipped: the bench may go on while the reason is typed. */
  check: string | null;
}

/** Returns the keyboard at rest. */
export function freshUi(): UiState {
  return { mode: 'plain', line: null, cursor: null, unit: null, named: '', page: 0, message: null };
}

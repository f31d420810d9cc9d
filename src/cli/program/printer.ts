import { printable } from '../../errors/printable.ts';
import type { Terminal } from '../../faces/screen/terminal/terminal.ts';

/** A terminal to which only safe lines go: what a command prints on. */
export interface Printer extends Terminal {
  /** Prints one line of data. A line break in it is shown, not obeyed. */
  out(line: string): void;
  /** Prints one line of talk, likewise. */
  say(line: string): void;
  /**
   * Prints a whole file (a table, a page, a picture) that is escaped by its own rules: as it is
   * into a pipe or a file, line by safe line where a person looks at it.
   */
  document(text: string): void;
}

/** Returns the one way to a terminal: every text that a command prints passes {@link printable}. */
export function printerOn(terminal: Terminal): Printer {
  const out = (line: string): void => terminal.out(printable(line));
  return {
    out,
    say: (line) => terminal.say(printable(line)),
    document(text) {
      if (terminal.showsData === true) for (const line of linesOf(text)) out(line);
      else terminal.out(text);
    },
    get talkCols() {
      return terminal.talkCols;
    },
    env: terminal.env,
    cwd: terminal.cwd,
    // looked at only when wanted: to touch stdin costs every command some start-up
    get stdin() {
      return terminal.stdin;
    },
    get screen() {
      return terminal.screen;
    },
    now: () => terminal.now(),
    random: () => terminal.random(),
    onInterrupt: (callback) => terminal.onInterrupt(callback),
    onReaderGone: (callback) => terminal.onReaderGone(callback),
    onOutputFailed: (callback) => terminal.onOutputFailed?.(callback),
    flushed: async () => terminal.flushed?.(),
    interrupt: () => terminal.interrupt(),
    beforeEnd: (act) => terminal.beforeEnd(act),
  };
}

/**
 * Prints a text of the program's own, whose line breaks are meant: the help, the lines of an error.
 */
export function printLines(print: (line: string) => void, text: string): void {
  for (const line of linesOf(text)) print(line);
}

function linesOf(text: string): string[] {
  return text.replace(/\n$/, '').split('\n');
}

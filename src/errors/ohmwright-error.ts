import { printable } from './printable.ts';

/** What an {@link OhmwrightError} may say beside its sentence. */
export interface ErrorDetails {
  /** What to do next, in a sentence; '' when the message says all. */
  help?: string;
  cause?: unknown;
}

/**
 * An error with a stable dotted `code` beside the sentence for people. The message says what is
 * wrong and where, `help` says what to do. The code alone decides the program's exit code; the
 * table of these stands in `cli/program/exit-codes.ts`. An outcome of a check is never an
 * exception, so no measured result travels this way.
 *
 * A message of several lines is given as a list. Each line is made printable here, so that a text
 * from a file or a probe can't begin a line of its own.
 */
export class OhmwrightError extends Error {
  readonly code: string;
  readonly help: string;

  constructor(code: string, message: string | readonly string[], { help = '', cause }: ErrorDetails = {}) {
    const lines = typeof message === 'string' ? [message] : message;
    super(lines.map(printable).join('\n'), cause === undefined ? undefined : { cause });
    this.name = 'OhmwrightError';
    this.code = code;
    this.help = printable(help);
  }
}

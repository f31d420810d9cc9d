/** How an {@link OhmwrightError} ends the program, and what to do about it. */
export interface ErrorDetails {
  /** Exit code of the program; README.md lists them. */
  exitCode: number;
  /** What to do next, in a sentence; '' when the message says all. */
  help?: string;
  cause?: unknown;
}

/**
 * An error with a stable dotted `code` beside the sentence for people: what is wrong, where, and in `help` what to do.
 * An outcome of a check is never an exception, so no measured result travels this way.
 */
export class OhmwrightError extends Error {
  readonly code: string;
  readonly exitCode: number;
  readonly help: string;

  constructor(code: string, message: string, details: ErrorDetails) {
    super(message, details.cause === undefined ? undefined : { cause: details.cause });
    this.name = 'OhmwrightError';
    this.code = code;
    this.exitCode = details.exitCode;
    this.help = details.help ?? '';
  }
}

/** An error with a stable code, the exit code of the program, and what to do next. The message says what and where. */
export class OhmwrightError extends Error {
  readonly code: string;
  readonly exitCode: number;
  /** What to do next, one sentence; may be empty. */
  readonly help: string;

  constructor(code: string, message: string, options: { exitCode: number; help?: string; cause?: unknown }) {
    super(message, options.cause === undefined ? undefined : { cause: options.cause });
    this.name = 'OhmwrightError';
    this.code = code;
    this.exitCode = options.exitCode;
    this.help = options.help ?? '';
  }
}

/** A failure of the simulator itself (bad image, bad script line, port that can't be made), never an outcome of a measurement. */
export class SimError extends Error {
  readonly code: string;
  readonly help: string;
  readonly exitCode: number;

  /** @param code stable dotted code @param message what and where @param help what to do next @param exitCode exit code of the program, 2 (usage) if not said */
  constructor(code: string, message: string, help: string, exitCode = 2) {
    super(message);
    this.name = 'SimError';
    this.code = code;
    this.help = help;
    this.exitCode = exitCode;
  }
}

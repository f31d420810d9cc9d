/** A parser that meets bytes from elsewhere, and what is to hold of it. */
export interface FuzzTarget {
  /** One word: the corpus file and the command name it. */
  readonly name: string;
  /** Executions of the whole run. */
  readonly executions: number;
  /** Longest input, in bytes. */
  readonly mostBytes: number;
  /**
   * Statements of the program that an input may run at most: `base` and so many a byte. A parser
   * that goes round in circles is found by this, without a clock.
   */
  readonly mostSteps: { readonly base: number; readonly aByte: number };
  /** Words that the grammar knows. */
  readonly words: readonly string[];
  /** Returns sound inputs to begin with. */
  seeds(): Uint8Array[];
  /**
   * Runs the parser and returns what it makes of the bytes, as plain data.
   *
   * @throws OhmwrightError; anything else is a finding
   */
  run(bytes: Uint8Array): unknown;
  /** Changes the structure of an input rather than its bytes. */
  restructure?(bytes: Uint8Array, draw: Draw): Uint8Array;
  /** Makes check values and hashes right again, so that a change gets past them. */
  seal?(bytes: Uint8Array): Uint8Array;
}

/** What a change may draw. */
export interface Draw {
  /** Returns a whole number from 0 to before `count`. */
  below(count: number): number;
  /** Returns one of a list that is not empty. */
  of<T>(list: readonly T[]): T;
}

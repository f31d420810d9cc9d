/** What stands in an entry beside what it should be, as data. */
export interface Compared {
  stands: unknown;
  due: unknown;
}

/**
 * Takes one thing that was found. `code` is stable; `what`: one plain sentence without its full
 * stop; `compared`: where two values can be put beside each other.
 */
export type Say = (code: string, what: string, compared?: Compared) => void;

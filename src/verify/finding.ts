/**
 * Takes one thing that was found. `code` is stable; `what`: one plain sentence without its full
 * stop.
 */
export type Say = (code: string, what: string) => void;

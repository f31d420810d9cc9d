import type { Terminal } from './terminal.ts';

/** What every command is given beside its own options. */
export interface Context {
  terminal: Terminal;
  signal: AbortSignal;
}

/** Writes data as one line of JSON, so that a reader can take it whole. */
export function printJson(terminal: Terminal, data: unknown): void {
  terminal.out(JSON.stringify(data));
}

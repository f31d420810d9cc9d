import type { Printer } from './printer.ts';

/** What every command is given beside its own options. */
export interface Context {
  terminal: Printer;
  signal: AbortSignal;
}

/** Writes data as one line of JSON, so that a reader can take it whole. */
export function printJson(terminal: Pick<Printer, 'out'>, data: unknown): void {
  terminal.out(JSON.stringify(data));
}

/** Why a command stops when nobody reads its output any more: no interrupt, so `meter | head` ends well. */
export class ReaderGone extends Error {
  override readonly name = 'AbortError';
}

/** Why a command stops when what it prints can't be written: a full disk behind `>`. */
export class OutputFailed extends Error {
  override readonly name = 'AbortError';
}

/** Returns whether a person (or the system) has interrupted the command. */
export function isInterrupted(signal: AbortSignal): boolean {
  return signal.aborted && !(signal.reason instanceof ReaderGone) && !(signal.reason instanceof OutputFailed);
}

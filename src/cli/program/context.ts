import type { ZodType } from 'zod';
import type { EndingSignal } from '../../faces/screen/terminal/terminal.ts';
import { type ExitCode, exitCodes } from './exit-codes.ts';
import type { Printer } from './printer.ts';

/** What every command is given beside its own options. */
export interface Context {
  terminal: Printer;
  /**
   * Aborted as soon as the command is to end; it may be so before a command looks for the first
   * time.
   */
  signal: AbortSignal;
  /** Every command of the program with its form of `--json`, as far as it has one. */
  forms?: () => Promise<readonly PrintedForm[]>;
}

/** What a command prints with `--json`. */
export interface PrintedForm {
  command: string;
  form: ZodType;
}

/** Writes data as one line of JSON, so that a reader can take it whole. */
export function printJson(terminal: Pick<Printer, 'out'>, data: unknown): void {
  terminal.out(JSON.stringify(data));
}

/** Why a command stops when a person or the system asks it to. */
export class Interrupted extends Error {
  override readonly name = 'AbortError';
  readonly exitCode: ExitCode;

  constructor(signal: EndingSignal) {
    super(`ended by ${signal}`);
    this.exitCode = interruptExits[signal];
  }
}

/** 128 and the signal's number, as a shell tells it. */
const interruptExits: Record<EndingSignal, ExitCode> = {
  SIGINT: exitCodes.interrupted,
  SIGHUP: exitCodes.hungUp,
  SIGTERM: exitCodes.terminated,
};

/**
 * Why a command stops when nobody reads its output any more: no interrupt, so `meter | head` ends
 * well.
 */
export class ReaderGone extends Error {
  override readonly name = 'AbortError';
}

/** Why a command stops when what it prints can't be written: a full disk behind `>`. */
export class OutputFailed extends Error {
  override readonly name = 'AbortError';
}

/**
 * Returns the exit code of a command that came to `exitCode`: an interrupt before its end decides,
 * whatever it came to.
 */
export function exitUnlessInterrupted(exitCode: number, { reason }: AbortSignal): number {
  return reason instanceof Interrupted ? reason.exitCode : exitCode;
}

/**
 * Has `act` called once the command is to end: now, if that was asked before. Returns the way to
 * forget it.
 */
export function whenStopped(signal: AbortSignal, act: () => void): () => void {
  if (signal.aborted) act();
  else signal.addEventListener('abort', act, { once: true });
  return () => signal.removeEventListener('abort', act);
}

import { writeSync } from 'node:fs';
import type { ReadStream, WriteStream } from 'node:tty';

/** Signals that ask a program to end; SIGHUP says that the terminal is gone. */
const ending = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

export type EndingSignal = (typeof ending)[number];

/** The two ends of a terminal that a person sits at. */
interface ScreenStreams {
  stdin: ReadStream;
  stdout: WriteStream;
  /** Writes at once, for a program that is being ended; a terminal that is gone is passed over. */
  writeNow(text: string): void;
}

/**
 * Where a command's data and talk go, and what it learns of its surroundings; tests pass their own.
 */
export interface Terminal {
  /** Data: what the command was asked for. */
  out(text: string): void;
  /** Talk: prompts, progress, errors. */
  say(text: string): void;
  /** Whether a person sees the data as it comes; not said: it goes into a pipe or a file. */
  readonly showsData?: boolean;
  /** Columns of the terminal that the talk goes to, as it is now; not said: it goes into a pipe or a file. */
  readonly talkCols?: number | undefined;
  env: Record<string, string | undefined>;
  cwd: string;
  stdin: NodeJS.ReadableStream & { isTTY?: boolean };
  /** Both ends of the terminal, when a person sits at it; null in a pipe. */
  screen: ScreenStreams | null;
  now(): Date;
  random(): number;
  /**
   * Calls back on the first interrupt, with its signal; a second one ends the program at once.
   * Returns the way to stop listening.
   */
  onInterrupt(callback: (signal: EndingSignal) => void): () => void;
  /** Calls back when whoever read the data or the talk has gone away (a closed pipe). */
  onReaderGone(callback: () => void): void;
  /**
   * Calls back when data or talk could not be written, for another reason than that: a full disk.
   */
  onOutputFailed?(callback: (error: Error) => void): void;
  /** Called with what ended a command, beside the sentence that a person reads. */
  onError?(error: unknown): void;
  /** Resolves when all that was printed has been written, or has failed. */
  flushed?(): Promise<void>;
  /** Interrupts as Ctrl-C does: in raw mode the terminal itself no longer does it. */
  interrupt(): void;
  /**
   * Has `act` done, at once and without waiting, before the program is ended by force. Returns the
   * way to forget it.
   */
  beforeEnd(act: () => void): () => void;
}

/** Returns the terminal of this process. */
export function processTerminal(): Terminal {
  let readerGone: () => void = () => undefined;
  let outputFailed: (error: Error) => void = () => undefined;
  for (const stream of [process.stdout, process.stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      // a pipe was closed, or a terminal window
      if (error.code === 'EPIPE' || (error.code === 'EIO' && stream.isTTY)) readerGone();
      else outputFailed(error);
    });
  }
  const lastActs = new Set<() => void>();
  return {
    out: (text) => void process.stdout.write(text.endsWith('\n') ? text : `${text}\n`),
    say: (text) => void process.stderr.write(text.endsWith('\n') ? text : `${text}\n`),
    showsData: process.stdout.isTTY,
    get talkCols() {
      return process.stderr.isTTY ? process.stderr.columns : undefined;
    },
    env: process.env,
    cwd: process.cwd(),
    // looked at only when wanted: to touch stdin costs every command some start-up
    get stdin() {
      return process.stdin;
    },
    get screen() {
      const { stdin, stdout } = process;
      return stdin.isTTY && stdout.isTTY ? { stdin, stdout, writeNow: (text: string) => writeNow(1, text) } : null;
    },
    now: () => new Date(),
    random: Math.random,
    onReaderGone(callback) {
      readerGone = callback;
    },
    onOutputFailed(callback) {
      outputFailed = callback;
    },
    async flushed() {
      // an error comes after the write that it is about
      for (const stream of [process.stdout, process.stderr])
        if (stream.writable) await new Promise<void>((resolve) => stream.write('', () => resolve()));
      await new Promise((resolve) => setImmediate(resolve));
    },
    onInterrupt(callback) {
      let asked = 0;
      const onSignal = (signal: EndingSignal) => {
        asked += 1;
        if (asked === 1) callback(signal);
        else endNow(signal, lastActs);
      };
      for (const signal of ending) process.on(signal, onSignal);
      return () => {
        for (const signal of ending) process.off(signal, onSignal);
      };
    },
    interrupt: () => void process.kill(process.pid, 'SIGINT'),
    beforeEnd(act) {
      lastActs.add(act);
      return () => void lastActs.delete(act);
    },
  };
}

/**
 * A person who asks twice wants out: the record is on disk as far as 'captured' was said, so the
 * signal may end the process.
 */
function endNow(signal: EndingSignal, lastActs: Iterable<() => void>): void {
  for (const act of lastActs) act();
  writeNow(2, 'Stopped at once. What was captured is in the record; resume the job to go on.\n');
  process.removeAllListeners(signal);
  process.kill(process.pid, signal);
}

function writeNow(fd: number, text: string): void {
  try {
    writeSync(fd, text);
  } catch {
    // nobody is left to read it
  }
}

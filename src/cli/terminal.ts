import { writeSync } from 'node:fs';

/** Where a command's data and talk go, and what it learns of its surroundings; tests pass their own. */
export interface Terminal {
  /** Data: what the command was asked for. */
  out(text: string): void;
  /** Talk: prompts, progress, errors. */
  say(text: string): void;
  env: Record<string, string | undefined>;
  cwd: string;
  stdin: NodeJS.ReadableStream & { isTTY?: boolean };
  now(): Date;
  random(): number;
  /** Calls back on the first interrupt; a second one ends the program at once. Returns the way to stop listening. */
  onInterrupt(callback: () => void): () => void;
  /** Calls back when whoever read the data or the talk has gone away (a closed pipe). */
  onReaderGone(callback: () => void): void;
}

/** Returns the terminal of this process. */
export function processTerminal(): Terminal {
  let readerGone: () => void = () => undefined;
  const onError = (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    readerGone();
  };
  process.stdout.on('error', onError);
  process.stderr.on('error', onError);
  return {
    out: (text) => void process.stdout.write(text.endsWith('\n') ? text : `${text}\n`),
    say: (text) => void process.stderr.write(text.endsWith('\n') ? text : `${text}\n`),
    env: process.env,
    cwd: process.cwd(),
    stdin: process.stdin,
    now: () => new Date(),
    random: Math.random,
    onReaderGone(callback) {
      readerGone = callback;
    },
    onInterrupt(callback) {
      let asked = 0;
      const onSignal = (signal: NodeJS.Signals) => {
        asked += 1;
        if (asked === 1) callback();
        else endNow(signal);
      };
      process.on('SIGINT', onSignal);
      process.on('SIGTERM', onSignal);
      return () => {
        process.off('SIGINT', onSignal);
        process.off('SIGTERM', onSignal);
      };
    },
  };
}

/** A person who asks twice wants out: the record is on disk as far as 'captured' was said, so the signal may end the process. */
function endNow(signal: NodeJS.Signals): void {
  writeSync(2, 'Stopped at once. What was captured is in the record; resume the job to go on.\n');
  process.removeAllListeners(signal);
  process.kill(process.pid, signal);
}

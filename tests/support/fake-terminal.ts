// Both ends of a terminal without a terminal: a screen can be drawn on it in the same process, as fast as it goes.
import { EventEmitter } from 'node:events';
import { PassThrough } from 'node:stream';
import type { EndingSignal, Terminal } from '../../src/faces/screen/terminal/terminal.ts';

/** A terminal that takes frames and gives keys. */
export interface FakeTerminal {
  terminal: Terminal;
  /** Presses keys. */
  key(text: string): void;
  resize(cols: number, rows: number): void;
  interrupt(): void;
}

/** Returns a terminal whose frames go to `onWrite`; what is said beside them goes nowhere. */
export function fakeTerminal(onWrite: (text: string) => void, cols = 80, rows = 24): FakeTerminal {
  const stdin = Object.assign(new PassThrough(), {
    isTTY: true,
    setRawMode: () => stdin,
    ref: () => stdin,
    unref: () => stdin,
  });
  const stdout = Object.assign(new EventEmitter(), {
    isTTY: true,
    columns: cols,
    rows,
    writable: true,
    write(text: string, done?: () => void) {
      if (text !== '') onWrite(text);
      if (done !== undefined) queueMicrotask(done);
      return true;
    },
  });
  let interrupted: (signal: EndingSignal) => void = () => undefined;
  const terminal = {
    out: () => undefined,
    say: () => undefined,
    env: { TERM: 'xterm-256color', LANG: 'C.UTF-8' },
    cwd: process.cwd(),
    stdin,
    screen: { stdin, stdout, writeNow: onWrite },
    now: () => new Date(),
    random: Math.random,
    onInterrupt(callback: (signal: EndingSignal) => void) {
      interrupted = callback;
      return () => undefined;
    },
    interrupt: () => interrupted('SIGINT'),
    beforeEnd: () => () => undefined,
  } as unknown as Terminal;
  return {
    terminal,
    key: (text) => void stdin.write(text),
    resize(newCols, newRows) {
      Object.assign(stdout, { columns: newCols, rows: newRows });
      stdout.emit('resize');
    },
    interrupt: () => interrupted('SIGINT'),
  };
}

/** Returns what the built program's module exports; built, since Node.js itself runs no .tsx. */
export async function built<T>(path: string): Promise<T> {
  return (await import(new URL(`../../dist/src/${path}`, import.meta.url).href)) as T;
}

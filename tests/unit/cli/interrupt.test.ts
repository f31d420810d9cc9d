import { describe, expect, test } from 'vitest';
import { exitUnlessInterrupted, Interrupted, ReaderGone, whenStopped } from '../../../src/cli/program/context.ts';

describe('what waits for the end of a command', () => {
  test('is told at once when the end was asked for before it listened', () => {
    let told = 0;
    whenStopped(AbortSignal.abort(), () => (told += 1));
    expect(told).toBe(1);
  });

  test('is told once later, and not when it has stopped listening', () => {
    const stop = new AbortController();
    const told: string[] = [];
    whenStopped(stop.signal, () => told.push('kept'));
    whenStopped(stop.signal, () => told.push('forgotten'))();
    expect(told).toEqual([]);
    stop.abort();
    expect(told).toEqual(['kept']);
  });
});

// signal numbers: POSIX.1-2024, kill(1), "SIGHUP 1, SIGINT 2, SIGTERM 15"; 128 and the number: common practice of shells, no source
test.each([
  ['SIGINT', 130],
  ['SIGHUP', 129],
  ['SIGTERM', 143],
] as const)('%s before the end decides the exit code: %i', (name, code) => {
  expect(exitUnlessInterrupted(1, AbortSignal.abort(new Interrupted(name)))).toBe(code);
});

test('a reader that went away is no interrupt, nor is an end that nobody asked for', () => {
  expect(exitUnlessInterrupted(0, AbortSignal.abort(new ReaderGone('gone')))).toBe(0);
  expect(exitUnlessInterrupted(1, new AbortController().signal)).toBe(1);
});

// A day at the bench, at speed: every reading of a working day passes through the live screen, and the memory stays where it was.
import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import type { SoakReport } from './screen-soak-child.ts';

const child = fileURLToPath(new URL('screen-soak-child.ts', import.meta.url));
const hours = 8;
/** Heap growth over the whole day, after a warm-up, as a share of the heap: what a plateau's noise leaves room for. */
const mostGrowth = 0.05;

test('the screen holds no more after a working day than after its first hour', async () => {
  const { stdout } = await promisify(execFile)(process.execPath, ['--expose-gc', child, String(hours)], {
    maxBuffer: 1 << 24,
  });
  const { samples, frames, readings, written, jobs } = JSON.parse(stdout) as SoakReport;
  // it did happen: frames were drawn and differed, jobs were begun and ended
  expect(readings).toBeGreaterThan(hours * 3600 * 1000);
  expect(frames).toBeGreaterThan(hours * 500);
  expect(written).toBeGreaterThan(frames * 20);
  expect(jobs).toBeGreaterThan(hours * 3);
  const third = Math.ceil(samples.length / 3);
  const level = (part: number[]): number => [...part].sort((a, b) => a - b)[Math.floor(part.length / 2)]!;
  const early = level(samples.slice(0, third));
  const late = level(samples.slice(-third));
  expect((late - early) / early, `heap in bytes: ${samples.join(' ')}`).toBeLessThan(mostGrowth);
}, 180_000);

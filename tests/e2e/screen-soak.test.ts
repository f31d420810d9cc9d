// Hours at the bench, at speed: every reading of them passes through the live screen, and the memory stays where it was.
import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import type { SoakReport } from './screen-soak-child.ts';

const child = fileURLToPath(new URL('screen-soak-child.ts', import.meta.url));
const hours = Number(process.env.OHMWRIGHT_SOAK_HOURS ?? 3);
/** Heap growth over a day of eight hours, after a warm-up of two, as a share of the heap; in proportion over fewer. */
const mostGrowth = (0.05 * hours) / 8;

test(
  'the screen holds no more after hours of work than after the first two',
  async () => {
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
  },
  hours * 150_000,
);

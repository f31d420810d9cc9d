import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { frameMs } from '../../src/session/engine/frame-pace.ts';
import { type Measured, median, quantile } from './benchmark.ts';
import type { ScreenTimes } from './screen-cost-child.ts';

export const name = 'screen-cost';
export const claim =
  'one frame of the live screen, from a key to the screen, and from captured (synced) to shown, each against the time between two frames';

/** Choices of ours: a frame takes a small part of its time, and what happened is to be seen in the frame that comes next. */
const targets = { frame: 0.25, key: 1.5, captured: 1.5 };
const measuredMs = 18_000;
const fewest = 10;
const child = fileURLToPath(new URL('screen-cost-child.ts', import.meta.url));

/** Returns medians as shares of the frame time; the emulated probe runs in the same process as the screen. */
export async function measure(): Promise<Measured> {
  const { stdout } = await promisify(execFile)(process.execPath, [child, String(measuredMs)], { maxBuffer: 1 << 24 });
  const { frames, keys, captured } = JSON.parse(stdout) as ScreenTimes;
  if (Math.min(frames.length, keys.length, captured.length) < fewest)
    throw new Error(`too little was seen: ${frames.length} frames, ${keys.length} keys, ${captured.length} captures`);
  return {
    figures: [
      { what: 'one frame / frame time', value: median(frames) / frameMs, sense: 'at most', target: targets.frame },
      { what: 'key to screen / frame time', value: median(keys) / frameMs, sense: 'at most', target: targets.key },
      {
        what: 'captured (synced) to shown / frame time',
        value: median(captured) / frameMs,
        sense: 'at most',
        target: targets.captured,
      },
    ],
    work: { frames: frames.length, keys: keys.length, captures: captured.length },
    numbers: {
      frameMsMedian: median(frames),
      frameMsNearWorst: quantile(frames, 0.95),
      keyMsMedian: median(keys),
      keyMsNearWorst: quantile(keys, 0.95),
      capturedMsMedian: median(captured),
      capturedMsNearWorst: quantile(captured, 0.95),
    },
  };
}

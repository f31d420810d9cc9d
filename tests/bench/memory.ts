import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Measured } from './benchmark.ts';
import type { HeapSample } from './memory-child.ts';

export const name = 'memory';
export const claim =
  'growth of the heap per hour of streaming (link, contact, meter; 2.5 hours of readings at speed, the first half hour apart) against the heap itself';

const warmUpHours = 0.5;
const endHours = 2.5;
const stepHours = 0.125;
const child = fileURLToPath(new URL('memory-child.ts', import.meta.url));

interface Report {
  readonly samples: readonly HeapSample[];
  readonly readings: number;
  readonly contactEvents: number;
  readonly gaps: number;
}

/** Returns the slope of the least-squares line in bytes an hour. */
function slope(samples: readonly HeapSample[]): number {
  const mean = (of: (sample: HeapSample) => number): number =>
    samples.reduce((sum, sample) => sum + of(sample), 0) / samples.length;
  const hours = mean((sample) => sample.hours);
  const bytes = mean((sample) => sample.bytes);
  const across = mean((sample) => (sample.hours - hours) * (sample.bytes - bytes));
  return across / mean((sample) => (sample.hours - hours) ** 2);
}

/** Returns the growth as a share: a plateau has none but noise. */
export async function measure(): Promise<Measured> {
  const args = ['--expose-gc', child, String(warmUpHours), String(endHours), String(stepHours)];
  const { stdout } = await promisify(execFile)(process.execPath, args, { maxBuffer: 1 << 24 });
  const { samples, readings, contactEvents, gaps } = JSON.parse(stdout) as Report;
  if (gaps > 0 || contactEvents === 0)
    throw new Error(`the stream was not understood: ${gaps} gaps, ${contactEvents} contactEvents`);
  const bytesPerHour = slope(samples);
  const heapBytes = samples[0]!.bytes;
  return {
    figures: [
      { what: 'heap growth in an hour / heap', value: bytesPerHour / heapBytes, sense: 'at most', target: 0.01 },
    ],
    work: { readings, contactEvents, samples: samples.length },
    numbers: {
      bytesPerHour,
      heapBytes,
      endBytes: samples.at(-1)!.bytes,
      streamedHours: samples.at(-1)!.hours,
      bytesPerReading: bytesPerHour / (readings / samples.at(-1)!.hours),
    },
  };
}

// Watches an execution from another thread: one that does not end has its input written down and the process ended.
import { writeFileSync } from 'node:fs';
import { isMainThread, Worker, workerData } from 'node:worker_threads';

const everyMs = 60_000;
const mostInput = 1 << 16;

/** Returns what to tell before each execution. */
export function watchExecutions(folder: string): (input: Uint8Array) => void {
  const counts = new Int32Array(new SharedArrayBuffer(8));
  const bytes = new Uint8Array(new SharedArrayBuffer(mostInput));
  new Worker(new URL(import.meta.url), { workerData: { counts, bytes, folder } }).unref();
  return (input) => {
    bytes.set(input.subarray(0, mostInput));
    counts[1] = Math.min(mostInput, input.length);
    counts[0]! += 1;
  };
}

if (!isMainThread) {
  const { counts, bytes, folder } = workerData as { counts: Int32Array; bytes: Uint8Array; folder: string };
  let before = -1;
  setInterval(() => {
    if (counts[0] !== before) {
      before = counts[0]!;
      return;
    }
    const path = `${folder}/without-end.bin`;
    writeFileSync(path, Uint8Array.from(bytes.subarray(0, counts[1])));
    process.stderr.write(`an execution did not end within ${everyMs / 1000} s: ${path}\n`);
    process.kill(process.pid, 'SIGKILL');
  }, everyMs);
}

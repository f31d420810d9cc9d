import type { Timers } from '../../ports/timers.ts';

/** The machine's own timers. */
export const systemTimers: Timers = {
  set: (ms, run) => setTimeout(run, ms),
  clear: (timer) => clearTimeout(timer as NodeJS.Timeout),
  now: () => performance.now(),
};

/** Resolves after `ms`, or as soon as `signal` is aborted: whoever waits looks at the signal. */
export function delay(timers: Timers, ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) {
      resolve();
      return;
    }
    const end = () => {
      timers.clear(timer);
      signal.removeEventListener('abort', end);
      resolve();
    };
    const timer = timers.set(ms, end);
    signal.addEventListener('abort', end, { once: true });
  });
}

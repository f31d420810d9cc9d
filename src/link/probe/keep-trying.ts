import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Timers } from '../../ports/timers.ts';
import { delay } from './system-timers.ts';

/** First and longest pause before another try, in milliseconds; each is twice the one before. */
const backOffMs = { first: 250, longest: 4000 } as const;

/**
 * Makes attempts with growing pauses until one succeeds (true) or `signal` is aborted (false).
 *
 * `onTrouble` gets each new reason why an attempt failed, except that the port is still not there:
 * that is what is waited for.
 * @throws whatever an attempt throws that is no OhmwrightError: a fault in the program
 */
export async function keepTrying(
  attempt: () => Promise<void>,
  { timers, signal, onTrouble }: { timers: Timers; signal: AbortSignal; onTrouble(why: string): void },
): Promise<boolean> {
  let told = '';
  for (let waitMs: number = backOffMs.first; ; waitMs = Math.min(2 * waitMs, backOffMs.longest)) {
    await delay(timers, waitMs, signal);
    if (signal.aborted) return false;
    try {
      await attempt();
      return true;
    } catch (error) {
      if (!(error instanceof OhmwrightError)) throw error;
      const why = `${error.message} ${error.help}`.trim();
      if (signal.aborted || error.code === 'port.gone' || why === told) continue;
      told = why;
      onTrouble(why);
    }
  }
}

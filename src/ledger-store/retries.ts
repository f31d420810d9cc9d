/** Another transaction was in the way: serialization failure, deadlock (PostgreSQL, appendix A). */
const conflicts = ['40001', '40P01'];

/** Returns what a database's error says of itself; empty when it says nothing. */
export function sqlStateOf(error: unknown): string {
  const code = (error as { code?: unknown } | null)?.code;
  return typeof code === 'string' ? code : '';
}

/** Whether the same transaction may go through the next time. */
export function isConflict(error: unknown): boolean {
  return conflicts.includes(sqlStateOf(error));
}

/** How often it is tried, and how long is waited before a try: a little longer each time, and by chance. */
export interface Patience {
  tries: number;
  pause(tried: number): Promise<void>;
}

/** Does work again while its error is one that may go away. */
export async function tryAgain<T>(
  work: () => Promise<T>,
  mayGoAway: (error: unknown) => boolean,
  { tries, pause }: Patience,
): Promise<T> {
  for (let tried = 1; ; tried += 1) {
    try {
      return await work();
    } catch (error) {
      if (tried >= tries || !mayGoAway(error)) throw error;
      await pause(tried);
    }
  }
}

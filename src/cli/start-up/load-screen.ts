/**
 * Loads everything that draws, and only when a screen is shown: Ink and React would double the
 * start of every other command.
 *
 * React keeps a profile of every update unless it is told before it is loaded that this is
 * production; over a day that fills the memory.
 */
export async function loadScreen() {
  process.env.NODE_ENV = 'production';
  return await import('./on-screen.ts');
}

import { spawn } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

/** Returns what a program beside this one prints, a value of each JSON line, run once for each processor: part and parts come last in its arguments. */
export async function inParts<T>(child: string, args: readonly string[], most: number): Promise<T[]> {
  const parts = Math.max(1, Math.min(most, availableParallelism()));
  const found = await Promise.all(
    Array.from({ length: parts }, (_, part) => partOf<T>(child, [...args, String(part), String(parts)])),
  );
  return found.flat();
}

async function partOf<T>(child: string, args: readonly string[]): Promise<T[]> {
  const file = fileURLToPath(new URL(child, import.meta.url));
  const running = spawn(process.execPath, [file, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise<number | null>((resolve, reject) => {
    running.once('error', reject);
    running.once('close', resolve);
  });
  const found: T[] = [];
  for await (const line of createInterface({ input: running.stdout })) found.push(JSON.parse(line) as T);
  const code = await ended;
  if (code !== 0) throw new Error(`${child} ${args.join(' ')} ended with ${code}`);
  return found;
}

/** Returns a whole number from the environment; throws one sentence for what is none. */
export function wholeFrom(name: string, usual: number, least: number): number {
  const value = Number(process.env[name] ?? usual);
  if (!Number.isInteger(value) || value < least) throw new Error(`${name} must be a whole number from ${least}`);
  return value;
}

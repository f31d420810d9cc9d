import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';
import type { FuzzTarget } from './target.ts';

/** What a parser returns may be this many times as long as what it was given, as JSON text. */
const mostGrowth = 64;
const growthBase = 20_000;

/**
 * Runs a parser on an input and returns what it gives, or its coded refusal.
 *
 * @throws what the parser throws without a code
 */
export function resultOf(target: FuzzTarget, bytes: Uint8Array): unknown {
  try {
    return target.run(bytes);
  } catch (error) {
    if (!(error instanceof OhmwrightError)) throw error;
    return { code: error.code, message: error.message };
  }
}

/**
 * Returns a result as JSON text; two runs of one input give the same.
 *
 * @throws Error when it is out of proportion to its input
 */
export function resultText(result: unknown, bytes: Uint8Array): string {
  const text = JSON.stringify(result, plain) ?? 'undefined';
  if (text.length > growthBase + mostGrowth * bytes.length)
    throw new Error(`${bytes.length} bytes became a result of ${text.length} characters`);
  return text;
}

/** Numbers that JSON has no word for stay what they are. */
function plain(_key: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value)) return String(value);
  if (value instanceof Uint8Array || value instanceof Uint16Array) return Array.from(value);
  return value;
}

import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';

/**
 * Kept inputs of a parser, one a line: text as a JSON string, bytes that are no text as
 * `{"base64":"..."}`.
 */
const folder = new URL('../fixtures/fuzz/', import.meta.url);
/** Inputs that once broke something stand in a file of their own, and are never minimised. */
export type CorpusPart = 'kept' | 'found';

function fileOf(name: string, part: CorpusPart): URL {
  return new URL(`${name}${part === 'found' ? '.found' : ''}.jsonl`, folder);
}

/** Returns the inputs that are kept for a parser. */
export function readCorpus(name: string, part: CorpusPart): Uint8Array[] {
  const file = fileOf(name, part);
  if (!existsSync(file)) return [];
  const lines = readFileSync(file, 'utf8').split('\n').slice(0, -1);
  return lines.map((line) => {
    const input = JSON.parse(line) as string | { base64: string };
    return new Uint8Array(typeof input === 'string' ? Buffer.from(input) : Buffer.from(input.base64, 'base64'));
  });
}

/** Writes the inputs of a parser, in place of those before. */
export function writeCorpus(name: string, part: CorpusPart, inputs: readonly Uint8Array[]): void {
  mkdirSync(folder, { recursive: true });
  const lines = inputs.map((input) => {
    const text = Buffer.from(input).toString('utf8');
    const isText = Buffer.from(text).equals(Buffer.from(input)) && !/\p{Cc}/u.test(text.replaceAll('\n', ''));
    return `${JSON.stringify(isText ? text : { base64: Buffer.from(input).toString('base64') })}\n`;
  });
  writeFileSync(fileOf(name, part), lines.join(''));
}

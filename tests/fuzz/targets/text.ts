import { readFileSync } from 'node:fs';
import { mutatedJson } from '../mutate-json.ts';
import type { Draw } from '../target.ts';

export const textOf = (bytes: Uint8Array): string => Buffer.from(bytes).toString('utf8');
export const bytesOf = (text: string): Uint8Array => new Uint8Array(Buffer.from(text));

/** Returns the text of an example. */
export const example = (name: string): string =>
  readFileSync(new URL(`../../../examples/${name}`, import.meta.url), 'utf8');

/** Changes a text of JSON as what it stands for; another text stays as it is. */
export function jsonChanged(bytes: Uint8Array, draw: Draw): Uint8Array {
  try {
    return bytesOf(JSON.stringify(mutatedJson(JSON.parse(textOf(bytes)), draw)));
  } catch {
    return bytes;
  }
}

/** What YAML knows beside plain lines. */
export const yamlWords = [
  '- ',
  ': ',
  '&a ',
  '*a',
  '<<: *a',
  '{',
  '}',
  '[',
  ']',
  '|\n',
  '? ',
  '!!binary ',
  '#',
  '\t',
  '~',
  '"',
  '---\n',
];

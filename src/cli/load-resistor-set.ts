import { readFile } from 'node:fs/promises';
import { parseResistorSet, type ResistorSet, type SetNote } from '../calibrate/resistor-set.ts';
import { OhmwrightError } from '../protocol/ohmwright-error.ts';
import { exitCodes } from './exit-codes.ts';

/** Returns the resistor set in a file, with questions about values that read like slips. @throws set.invalid (exit code 2), and what reading the file throws */
export async function loadResistorSet(file: string): Promise<{ set: ResistorSet; questions: SetNote[] }> {
  const parsed = parseResistorSet(await readFile(file, 'utf8'));
  if (parsed.ok) return { set: parsed.set, questions: parsed.questions };
  throw new OhmwrightError('set.invalid', parsed.problems.map((problem) => setNoteText(file, problem)).join('\n'), {
    exitCode: exitCodes.usage,
    help: 'mend the file; examples/bench-resistors.yaml shows the form',
  });
}

/** Returns a note on one line: `file:12: what (path)`. */
export function setNoteText(file: string, { line, path, text }: SetNote): string {
  return `${file}${line === null ? '' : `:${line}`}: ${text}${path === '' ? '' : ` (${path})`}`;
}

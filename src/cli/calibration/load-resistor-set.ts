import { parseResistorSet, type ResistorSet, type SetNote } from '../../calibrate/standards/resistor-set.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { readForeignText } from '../../files/read-file.ts';
import { calibrationEnd } from '../../measure/reading/calibration-age.ts';

/**
 * Returns the resistor set in a file, with questions about values that read like slips, and about
 * values past their date.
 *
 * @throws set.invalid, and what reading the file throws
 */
export async function loadResistorSet(file: string, now: Date): Promise<{ set: ResistorSet; questions: SetNote[] }> {
  const parsed = parseResistorSet(await readForeignText(file, 'resistor set'));
  if (parsed.ok) {
    const end = calibrationEnd(parsed.set);
    if (end === null || end >= now.toISOString().slice(0, 10)) return { set: parsed.set, questions: parsed.questions };
    const text = `its values held until ${end}; have them measured again, or state wider tolerances`;
    return { set: parsed.set, questions: [...parsed.questions, { line: null, path: 'validDays', text }] };
  }
  throw new OhmwrightError(
    'set.invalid',
    parsed.problems.map((problem) => setNoteText(file, problem)),
    {
      help: 'mend the file; examples/bench-resistors.yaml shows the form',
    },
  );
}

/** Returns a note on one line: `file:12: what (path)`. */
export function setNoteText(file: string, { line, path, text }: SetNote): string {
  return `${file}${line === null ? '' : `:${line}`}: ${text}${path === '' ? '' : ` (${path})`}`;
}

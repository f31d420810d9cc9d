import { formatQuantity } from '../../measure/reading/format.ts';
import type { PresentedStandard } from './presented-standards.ts';
import { readResistor } from './resistor-code.ts';
import { valueQuestion } from './resistor-set.ts';

/** A resistor as a person typed it; `question` asks about a value that nobody makes. */
export type TypedStandard =
  | { ok: true; standard: PresentedStandard; question: string | null }
  | { ok: false; text: string };

/**
 * Returns the resistor that a text describes (value and tolerance, letter code, colour bands), or
 * in words why it is none.
 */
export function typedStandard(text: string): TypedStandard {
  const read = readResistor(text);
  if (!read.ok) return { ok: false, text: read.problem.text };
  const { ohm, tolerancePct } = read.resistor;
  if (tolerancePct === null)
    return {
      ok: false,
      text: `'${text.trim()}' has no tolerance; write it as ${formatQuantity(ohm, 'resistance')} 1 %`,
    };
  if (ohm === 0)
    return { ok: false, text: 'a link of 0 ohm is no known resistance; hold the tips together for a short' };
  // limits of a rectangular distribution (JCGM 100:2008, 4.3.7)
  const uOhm = (ohm * tolerancePct) / 100 / Math.sqrt(3);
  const name = `${formatQuantity(ohm, 'resistance')} ${tolerancePct} %`;
  return {
    ok: true,
    standard: { id: name, label: name, standard: { kind: 'resistor', ohm, uOhm, uCommonRel: 0, name } },
    question: valueQuestion(read.resistor),
  };
}

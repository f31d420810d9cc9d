import type { GoodValue } from '../../calibrate/limits/limits-proposal.ts';
import { csvRows } from '../../calibrate/points/csv-rows.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { parseQuantity } from '../../guide/file/quantity.ts';
import type { Guide } from '../../guide/types.ts';

const needed = ['unit', 'check', 'reading'] as const;

/**
 * Returns the values in a CSV file with a first row of column names: `unit` (what names the unit),
 * `check` (a check id of the guide), `reading` with its unit of measurement (`0.31 ohm`, `1.8 V`,
 * or `open`), and if known `u`, its standard uncertainty, also with unit. Other columns are passed
 * over.
 *
 * @throws OhmwrightError `limits.csv` with the line that is wrong
 */
export function goodValuesFromCsv(text: string, file: string, guide: Guide): { check: string; good: GoodValue }[] {
  const refuse = (line: number, what: string, help: string): OhmwrightError =>
    new OhmwrightError('limits.csv', `${file}, line ${line}: ${what}`, { help });
  const parsed = csvRows(text);
  if (!parsed.ok) throw refuse(parsed.line, parsed.what, 'close every double quote before the next comma');
  const [head, ...rows] = parsed.rows;
  const names = head?.fields.map((field) => field.toLowerCase()) ?? [];
  const missing = needed.filter((name) => !names.includes(name));
  if (head === undefined || missing.length > 0) {
    const what = head === undefined ? 'the file is empty' : `there is no column ${missing.join(', no column ')}`;
    throw refuse(head?.line ?? 1, what, 'the first row names the columns: unit,check,reading (and u, if known)');
  }
  if (rows.length === 0)
    throw refuse(head.line, 'no value follows the names of the columns', 'add a row for each unit and check');
  return rows.map(({ line, fields }) => {
    const field = (name: string): string => fields[names.indexOf(name)] ?? '';
    const check = guide.checks.find(({ id }) => id === field('check'));
    if (check === undefined || check.kind === 'look') {
      const ids = guide.checks.flatMap(({ id, kind }) => (kind === 'look' ? [] : [id]));
      throw refuse(line, `the guide has no check '${field('check')}' with limits`, `its checks are ${ids.join(', ')}`);
    }
    if (field('unit') === '')
      throw refuse(line, 'the unit is not named', 'give each unit its serial number, or any name of its own');
    const dimension = check.kind === 'voltage' ? 'volt' : 'ohm';
    const take = (name: string): number => {
      const quantity = parseQuantity(field(name), dimension);
      if (quantity.ok) return quantity.value;
      const example = dimension === 'volt' ? '1.8 V' : '0.31 ohm';
      throw refuse(
        line,
        `'${field(name)}' in the column ${name} is no ${dimension}`,
        `write it with its unit, as ${example}`,
      );
    };
    const isOpen = dimension === 'ohm' && field('reading').toLowerCase() === 'open';
    const u = field('u') === '' ? null : take('u');
    return { check: check.id, good: { unit: field('unit'), value: isOpen ? 0 : take('reading'), u, isOpen } };
  });
}

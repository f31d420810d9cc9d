import { fullScaleCode } from '../../measure/reading/nominal.ts';
import type { CalibrationLevel } from '../../protocol/calibration-block.ts';
import { readResistor } from '../standards/resistor-code.ts';
import type { ResistorSet } from '../standards/resistor-set.ts';
import type { CalPoint, Standard } from './cal-point.ts';
import { csvRows } from './csv-rows.ts';
import { numberFault } from './point-problem.ts';

/** Where in a points file something is wrong, and what; `column` is null for a whole line. */
interface CsvProblem {
  line: number;
  column: string | null;
  text: string;
}

/** `lines`: where each point stands in the file. */
export type ParsedPoints = { ok: true; points: CalPoint[]; lines: number[] } | { ok: false; problems: CsvProblem[] };

/** Columns of a points file; the first six must be there. */
export const pointColumns = [
  'range',
  'level',
  'standard',
  'code',
  'u_code',
  'n',
  'ohm',
  'u_ohm',
  'u_common_rel',
  'volt',
  'u_volt',
] as const;
type Column = (typeof pointColumns)[number];
const needed: readonly Column[] = pointColumns.slice(0, 6);
const levels: readonly CalibrationLevel[] = ['normal', 'dry', 'voltage'];
/** So many problems are enough to see what is wrong with a file. */
const mostProblems = 20;

/**
 * Returns the points in a CSV text with a first row of column names, or what is wrong with it, line
 * by line. Never throws.
 *
 * `standard` is `short`, `open`, `volt`, the name of a resistor of `set`, or a marking with its
 * tolerance (`470 ohm 0.1 %`, `4K7B`, colour bands). With `ohm` and `u_ohm` filled in they hold,
 * whatever the name. Numbers have a point, no unit and no thousands mark; lines that begin with #
 * are passed over.
 */
export function parsePointsCsv(text: string, set: ResistorSet | null): ParsedPoints {
  const read = csvRows(text);
  if (!read.ok) return { ok: false, problems: [{ line: read.line, column: null, text: read.what }] };
  const [head, ...rows] = read.rows;
  if (head === undefined)
    return oneProblem(1, null, `the file is empty; its first row names the columns: ${needed.join(', ')}`);
  const names = head.fields.map((name) => name.toLowerCase());
  const missing = needed.filter((name) => !names.includes(name));
  if (missing.length > 0) {
    return oneProblem(
      head.line,
      missing[0]!,
      `there is no column ${missing.join(', no column ')}; the first row must name ${needed.join(', ')}`,
    );
  }
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) return oneProblem(head.line, twice, `the column ${twice} stands twice`);
  if (rows.length === 0) return oneProblem(head.line, null, 'there is no point under the names of the columns');
  const points: CalPoint[] = [];
  const lines: number[] = [];
  const problems: CsvProblem[] = [];
  for (const { line, fields } of rows) {
    const cell = (column: Column): string => fields[names.indexOf(column)] ?? '';
    if (fields.length !== names.length) {
      problems.push({ line, column: null, text: `it has ${fields.length} fields and the first row ${names.length}` });
      continue;
    }
    const point = pointOf(cell, set);
    if ('text' in point) problems.push({ line, ...point });
    else {
      points.push(point);
      lines.push(line);
    }
  }
  return problems.length > 0 ? { ok: false, problems: problems.slice(0, mostProblems) } : { ok: true, points, lines };
}

function oneProblem(line: number, column: string | null, text: string): ParsedPoints {
  return { ok: false, problems: [{ line, column, text }] };
}

type Fault = { column: string | null; text: string };

function pointOf(cell: (column: Column) => string, set: ResistorSet | null): CalPoint | Fault {
  const level = levels.find((name) => name === cell('level').toLowerCase());
  if (level === undefined)
    return { column: 'level', text: `'${cell('level')}' is no level; there are ${levels.join(', ')}` };
  const numbers = { range: 0, code: 0, uCode: 0, n: 0 };
  for (const [key, column] of [
    ['range', 'range'],
    ['code', 'code'],
    ['uCode', 'u_code'],
    ['n', 'n'],
  ] as const) {
    const value = numberOf(cell(column));
    if (value === null) return { column, text: notNumber(cell(column)) };
    numbers[key] = value;
  }
  if (!Number.isInteger(numbers.range) || numbers.range < 0)
    return { column: 'range', text: `'${cell('range')}' is no range; write 0, 1, 2, 3 or 4` };
  if (numbers.code > fullScaleCode)
    return { column: 'code', text: `'${cell('code')}' is no code; the converter ends at ${fullScaleCode}` };
  const standard = standardOf(cell, set);
  if ('text' in standard) return standard;
  const point: CalPoint = { ...numbers, level, standard };
  const fault = numberFault(point);
  return fault === null ? point : { column: null, text: fault };
}

function standardOf(cell: (column: Column) => string, set: ResistorSet | null): Standard | Fault {
  const name = cell('standard');
  if (name === '')
    return { column: 'standard', text: 'nothing says what was at the tips: short, open, volt, or a resistor' };
  if (/^(short|open)$/i.test(name)) return { kind: name.toLowerCase() as 'short' | 'open' };
  const given: Partial<Record<Column, number>> = {};
  for (const column of ['ohm', 'u_ohm', 'u_common_rel', 'volt', 'u_volt'] as const) {
    if (cell(column) === '') continue;
    const value = numberOf(cell(column));
    if (value === null) return { column, text: notNumber(cell(column)) };
    given[column] = value;
  }
  if (/^volt$/i.test(name)) {
    if (given.volt === undefined) return { column: 'volt', text: 'the voltage is missing' };
    if (given.u_volt === undefined) return { column: 'u_volt', text: "the voltage's standard uncertainty is missing" };
    return { kind: 'volt', volt: given.volt, uVolt: given.u_volt };
  }
  if (given.ohm !== undefined) {
    if (given.u_ohm === undefined) return { column: 'u_ohm', text: `the standard uncertainty of ${name} is missing` };
    return { kind: 'resistor', ohm: given.ohm, uOhm: given.u_ohm, uCommonRel: given.u_common_rel ?? 0, name };
  }
  const known = set?.resistors.find((resistor) => resistor.name === name);
  if (known !== undefined) return known.standard;
  const read = readResistor(name);
  const where =
    set === null
      ? 'name the set with --set, or fill in ohm and u_ohm'
      : `the set has ${set.resistors.map((one) => one.name).join(', ')}`;
  if (!read.ok) {
    const text = `'${name}' is neither short, open, volt, nor a resistor that is known; ${where}`;
    return { column: 'standard', text };
  }
  const { ohm, tolerancePct } = read.resistor;
  if (tolerancePct === null) {
    const text = `'${name}' is no resistor that is known, and as a marking it has no tolerance; ${where}`;
    return { column: 'standard', text };
  }
  return { kind: 'resistor', ohm, uOhm: (ohm * tolerancePct) / 100 / Math.sqrt(3), uCommonRel: 0, name };
}

/**
 * Returns a number as programs write it, or null: no unit, no comma, no thousands mark, nothing
 * infinite.
 */
function numberOf(text: string): number | null {
  if (!/^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/.test(text)) return null;
  const value = Number(text);
  return Number.isFinite(value) ? value : null;
}

function notNumber(text: string): string {
  if (text === '') return 'the number is missing';
  return /^\d+,\d+$/.test(text) ? `'${text}' has a decimal comma; write a point` : `'${text}' is no number`;
}

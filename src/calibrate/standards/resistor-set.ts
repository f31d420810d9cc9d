import { LineCounter, parseDocument } from 'yaml';
import { yamlOptions } from '../../files/yaml-options.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { Standard } from '../points/cal-point.ts';
import { seriesOfTolerance, unusualValue } from './e-series.ts';
import { type ResistorCode, readResistor } from './resistor-code.ts';
import { type SetFile, setFileSchema } from './set-schema.ts';

/** One resistor of a set, ready to be a standard. */
interface SetResistor {
  name: string;
  standard: Extract<Standard, { kind: 'resistor' }>;
  /** What it is marked, in ohm; null when only its certified value is given. */
  nominalOhm: number | null;
  tolerancePct: number | null;
  /** Its value was measured by somebody who states an uncertainty. */
  isCertified: boolean;
}

/** Known resistors with their identity. */
export interface ResistorSet {
  id: string;
  title: string | null;
  dateIso: string | null;
  validDays: number | null;
  temperatureC: number | null;
  /** Relative standard uncertainty that all of them share. */
  uCommonRel: number;
  resistors: SetResistor[];
}

/** Something about a set: where in its file, and one sentence. */
export interface SetNote {
  line: number | null;
  path: string;
  text: string;
}

/**
 * `questions`: what reads like a slip (a value that nobody makes); the set can be used all the
 * same.
 */
export type ParsedSet = { ok: true; set: ResistorSet; questions: SetNote[] } | { ok: false; problems: SetNote[] };

/**
 * A resistor is taken to be within this many kelvin of the temperature that its value holds for,
 * either way.
 */
const withinK = 5;
const percent = /^(?:\+\/?-|\u00b1)?\s*(\d+(?:\.\d*)?|\.\d+)\s*%$/;

/**
 * Returns the resistor set in a YAML text, or everything that keeps it from being one. Never
 * throws.
 *
 * A tolerance is taken as the limits of a rectangular distribution: u = a / sqrt(3) (JCGM 100:2008,
 * 4.3.7). A certified value has u = expanded / coverage (4.3.3). A marked temperature coefficient
 * adds what 5 K do.
 */
export function parseResistorSet(text: string): ParsedSet {
  const lines = new LineCounter();
  const document = parseDocument(text, {
    lineCounter: lines,
    ...yamlOptions,
  });
  const [broken] = document.errors;
  if (broken !== undefined) {
    return {
      ok: false,
      problems: [{ line: lines.linePos(broken.pos[0]).line, path: '', text: `this is no YAML: ${broken.message}` }],
    };
  }
  const lineOf = (path: readonly PropertyKey[]): number | null => {
    for (let length = path.length; length > 0; length--) {
      const node = document.getIn(path.slice(0, length) as (string | number)[], true);
      if (typeof node === 'object' && node !== null && 'range' in node && Array.isArray(node.range)) {
        return lines.linePos(node.range[0] as number).line;
      }
    }
    return null;
  };
  const note = (path: readonly PropertyKey[], sentence: string): SetNote => ({
    line: lineOf(path),
    path: path.join('.'),
    text: sentence,
  });
  let data: unknown;
  try {
    data = document.toJS({ maxAliasCount: 100 });
  } catch {
    return {
      ok: false,
      problems: [{ line: 1, path: '', text: 'its aliases lead in circles; write each resistor out' }],
    };
  }
  if (typeof data !== 'object' || data === null) {
    return {
      ok: false,
      problems: [
        { line: 1, path: '', text: 'there is no resistor set in it; examples/bench-resistors.yaml shows one' },
      ],
    };
  }
  const shaped = setFileSchema.safeParse(data);
  if (!shaped.success) {
    return { ok: false, problems: shaped.error.issues.map((issue) => note(issue.path, issueText(issue))) };
  }
  return setOf(shaped.data, note);
}

function issueText(issue: { code: string; message: string; keys?: string[] }): string {
  if (issue.code !== 'unrecognized_keys') return issue.message;
  return `a set has no field ${(issue.keys ?? []).join(', ')}`;
}

type Noting = (path: readonly PropertyKey[], sentence: string) => SetNote;

function setOf(file: SetFile, note: Noting): ParsedSet {
  const problems: SetNote[] = [];
  const questions: SetNote[] = [];
  let uCommonRel = 0;
  if (file.common !== undefined) {
    const limit = percent.exec(file.common)?.[1];
    if (limit === undefined) problems.push(note(['common'], `'${file.common}' is no share; write it as 0.02 %`));
    else uCommonRel = Number(limit) / 100 / Math.sqrt(3);
  }
  const resistors: SetResistor[] = [];
  const seen = new Set<string>();
  for (const [i, entry] of file.resistors.entries()) {
    const path = ['resistors', i];
    if (seen.has(entry.name)) problems.push(note([...path, 'name'], `two resistors are named ${entry.name}`));
    seen.add(entry.name);
    const read = resistorOf(entry, uCommonRel);
    if (!read.ok) problems.push(note([...path, read.field], `${entry.name}: ${read.text}`));
    else {
      resistors.push(read.resistor);
      if (read.question !== null) questions.push(note([...path, 'is'], `${entry.name}: ${read.question}`));
    }
  }
  if (problems.length > 0) return { ok: false, problems };
  const set: ResistorSet = {
    id: file.id,
    title: file.title ?? null,
    dateIso: file.date ?? null,
    validDays: file.validDays ?? null,
    temperatureC: file.temperatureC ?? null,
    uCommonRel,
    resistors,
  };
  return { ok: true, set, questions };
}

type ReadEntry =
  | { ok: true; resistor: SetResistor; question: string | null }
  | { ok: false; field: string; text: string };

function resistorOf(entry: SetFile['resistors'][number], uCommonRel: number): ReadEntry {
  const refuse = (field: string, sentence: string): ReadEntry => ({ ok: false, field, text: sentence });
  let marked: ResistorCode | null = null;
  if (entry.is !== undefined) {
    const read = readResistor(entry.is);
    if (!read.ok) return refuse('is', read.problem.text);
    marked = read.resistor;
  }
  if (entry.certified === undefined) {
    if (marked === null) return refuse('name', 'give what it is marked (is), or its certified value');
    if (marked.tolerancePct === null)
      return refuse(
        'is',
        `'${entry.is}' has no tolerance; add it, as in ${formatQuantity(marked.ohm, 'resistance')} 1 %`,
      );
    if (marked.ohm === 0)
      return refuse('is', 'a link of 0 ohm is no known resistance; hold the tips together for a short');
    return { ok: true, resistor: bare(entry.name, marked.ohm, marked, uCommonRel), question: valueQuestion(marked) };
  }
  if (entry.expanded === undefined)
    return refuse('certified', 'a certified value needs its expanded uncertainty (expanded)');
  const value = ohmOf(entry.certified);
  const expanded = ohmOf(entry.expanded);
  if (value === null || !(value > 0))
    return refuse('certified', `'${entry.certified}' is no resistance; write it with its unit, as 99.987 ohm`);
  if (expanded === null || !(expanded > 0 && expanded < value)) {
    return refuse(
      'expanded',
      `'${entry.expanded}' is no uncertainty of ${formatQuantity(value, 'resistance')}; write it with its unit, as 0.004 ohm`,
    );
  }
  const standard: SetResistor['standard'] = {
    kind: 'resistor',
    ohm: value,
    uOhm: Math.hypot(expanded / entry.coverage, temperatureOhm(value, marked)),
    uCommonRel,
    name: entry.name,
  };
  const resistor = {
    name: entry.name,
    standard,
    nominalOhm: marked?.ohm ?? null,
    tolerancePct: marked?.tolerancePct ?? null,
    isCertified: true,
  };
  return { ok: true, resistor, question: certifiedQuestion(value, marked) };
}

function bare(name: string, ohm: number, marked: ResistorCode, uCommonRel: number): SetResistor {
  const uTolerance = (ohm * marked.tolerancePct!) / 100 / Math.sqrt(3);
  const uOhm = Math.hypot(uTolerance, temperatureOhm(ohm, marked));
  return {
    name,
    standard: { kind: 'resistor', ohm, uOhm, uCommonRel, name },
    nominalOhm: ohm,
    tolerancePct: marked.tolerancePct,
    isCertified: false,
  };
}

function temperatureOhm(ohm: number, marked: ResistorCode | null): number {
  return (ohm * (marked?.ppmPerK ?? 0) * 1e-6 * withinK) / Math.sqrt(3);
}

function ohmOf(text: string): number | null {
  const read = readResistor(text);
  return read.ok && read.resistor.tolerancePct === null ? read.resistor.ohm : null;
}

/**
 * Returns a question about a value that is not made at its tolerance, with what may have been
 * meant, or null.
 */
export function valueQuestion({ ohm, tolerancePct }: Pick<ResistorCode, 'ohm' | 'tolerancePct'>): string | null {
  const unusual = unusualValue(ohm, tolerancePct);
  if (unusual === null) return null;
  // one line of the narrowest screen
  const not = tolerancePct === null ? 'is no preferred value' : `is not in ${seriesOfTolerance(tolerancePct)}`;
  // E192 values differ by a percent: four digits keep them apart
  return `${formatQuantity(ohm, 'resistance')} ${not}; did you mean ${unusual.nearestOhm.map((near) => formatQuantity(near, 'resistance')).join(' or ')}?`;
}

function certifiedQuestion(value: number, marked: ResistorCode | null): string | null {
  if (marked === null || marked.tolerancePct === null) return null;
  const off = Math.abs(value / marked.ohm - 1) * 100;
  if (off <= marked.tolerancePct) return null;
  return `its certified value is ${off.toPrecision(2)} % from ${formatQuantity(marked.ohm, 'resistance')}, more than its tolerance of ${marked.tolerancePct} %: is it the right one?`;
}

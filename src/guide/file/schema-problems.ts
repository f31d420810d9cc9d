import { z } from 'zod';
import { problemAt } from '../problems/problem.ts';
import type { GuideProblem } from '../types.ts';
import { didYouMean } from './near.ts';
import type { Path, SourceMap } from './source-map.ts';

type Issue = z.core.$ZodIssue;

/** Returns the problems that the issues of the schema stand for, in the order of the issues. */
export function schemaProblems(
  issues: readonly Issue[],
  data: unknown,
  source: SourceMap,
  schema: z.ZodType,
): GuideProblem[] {
  return issues.flatMap((issue) => issueProblems(issue, data, source, schema));
}

function issueProblems(issue: Issue, data: unknown, source: SourceMap, schema: z.ZodType): GuideProblem[] {
  const path = issue.path.map((step) => (typeof step === 'number' ? step : String(step)));
  const written = valueAt(data, path);
  const error = (code: string, args: Record<string, string> = {}, at: Path = path) =>
    problemAt(source, 'error', code, at, { written: shown(written), ...args });

  if (issue.code === 'unrecognized_keys') {
    const known = knownFields(path, data, schema);
    return issue.keys.map((key) => error('field.unknown', { key, near: didYouMean(key, known) }, [...path, key]));
  }
  if (issue.code === 'custom' && issue.message.includes('.')) {
    return [error(issue.message, (issue.params ?? {}) as Record<string, string>)];
  }
  if (written === undefined) return [error('field.missing')];
  const [code, dimension] = issue.message.split(':') as [string, string | undefined];
  if (/^[a-z]+\.[a-z-]+$/.test(code)) {
    if (code === 'units.missing' && typeof written !== 'number') {
      return [error('number.bad', { dimension: dimension ?? 'ohm' })];
    }
    if (code === 'text.needed' && typeof written === 'object') return [error('field.type', { expected: 'a text' })];
    return [error(code, dimension === undefined ? {} : { dimension })];
  }
  switch (issue.code) {
    case 'invalid_type':
      return [error('field.type', { expected: expectedWords[issue.expected] ?? issue.expected })];
    case 'invalid_value': {
      const values = issue.values.map(String);
      return [error('field.choice', { values: values.join(', '), near: didYouMean(String(written), values) })];
    }
    case 'invalid_union': {
      const options = 'options' in issue && Array.isArray(issue.options) ? issue.options.map(String) : [];
      return [error('field.choice', { values: options.join(', '), near: didYouMean(String(written), options) })];
    }
    case 'too_small':
      return [error('field.range', { bounds: `${issue.inclusive === false ? 'above' : 'at least'} ${issue.minimum}` })];
    case 'too_big':
      return [error('field.range', { bounds: `${issue.inclusive === false ? 'below' : 'at most'} ${issue.maximum}` })];
    default:
      return [error('field.invalid', { reason: issue.message })];
  }
}

const expectedWords: Record<string, string> = {
  object: 'a mapping of fields',
  array: 'a list',
  string: 'a text',
  number: 'a plain number',
  int: 'a whole number',
  boolean: 'true or false',
};

function shown(value: unknown): string {
  if (value === null) return 'nothing';
  if (typeof value === 'object') return Array.isArray(value) ? 'a list' : 'a mapping';
  return String(value);
}

function valueAt(data: unknown, path: Path): unknown {
  let value = data;
  for (const step of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined;
    value = (value as Record<string | number, unknown>)[step];
  }
  return value;
}

/** The fields that the published schema has at a path; of a check, those of its own kind. */
function knownFields(path: Path, data: unknown, whole: z.ZodType): string[] {
  let schema = z.toJSONSchema(whole, { io: 'input' }) as Shape | undefined;
  path.forEach((step, at) => {
    schema = typeof step === 'number' ? schema?.items : schema?.properties?.[step];
    const options = schema?.oneOf ?? schema?.anyOf;
    if (options === undefined) return;
    const value = valueAt(data, path.slice(0, at + 1));
    schema = options.find((option) =>
      Object.entries(option.properties ?? {}).some(
        ([key, { const: constant }]) => constant !== undefined && constant === valueAt(value, [key]),
      ),
    );
  });
  return Object.keys(schema?.properties ?? {});
}

interface Shape {
  properties?: Record<string, Shape>;
  items?: Shape;
  oneOf?: Shape[];
  anyOf?: Shape[];
  const?: unknown;
}

import type { Path, SourceMap } from '../file/source-map.ts';
import type { GuideProblem } from '../types.ts';
import { problemWords, type WordArgs } from './words.ts';

/** Returns a problem with its place and its sentence. */
export function problemAt(
  source: SourceMap,
  severity: GuideProblem['severity'],
  code: string,
  path: Path,
  args: WordArgs = {},
): GuideProblem {
  const last = [...path].reverse().find((step) => typeof step === 'string') ?? 'the file';
  const place = code === 'field.unknown' ? source.keyPlace(path) : source.place(path);
  return { severity, code, path: path.join('.'), ...place, ...problemWords(code, { name: String(last), ...args }) };
}

/** Returns a problem on one line: `file:12:5: what (path); help`. */
export function problemText(fileName: string, problem: GuideProblem): string {
  const place = problem.line === null ? '' : `:${problem.line}:${problem.column}`;
  const path = problem.path === '' ? '' : ` (${problem.path})`;
  return `${fileName}${place}: ${problem.what}${path}; ${problem.help}`;
}

/** So many problems are told: whoever mends a file needs the first ones, and a bad file may hold thousands. */
const mostTold = 50;
/** Of a file that is no YAML the first places say enough. */
const mostOfNoYaml = 3;

/** Returns a line for each problem; of many the first ones, and how many there are beside. `headOf`: what stands before each. */
export function problemLines(
  fileName: string,
  problems: readonly GuideProblem[],
  headOf: (problem: GuideProblem) => string = () => '',
): string[] {
  const isYaml = problems.some(({ code }) => code !== 'yaml.syntax');
  const shown = problems.slice(0, isYaml ? mostTold : mostOfNoYaml);
  const told = shown.map((problem) => `${headOf(problem)}${problemText(fileName, problem)}`);
  const left = problems.length - told.length;
  if (left === 0) return told;
  const rest = isYaml
    ? `${left} more; mend these first`
    : `is it a guide at all? It is no YAML in ${left} more places.`;
  return [...told, `${fileName}: ${rest}`];
}

/** Sorts problems by their place, errors first where the place is the same. */
export function byPlace(a: GuideProblem, b: GuideProblem): number {
  return (
    (a.line ?? 0) - (b.line ?? 0) ||
    (a.column ?? 0) - (b.column ?? 0) ||
    (a.severity === b.severity ? 0 : a.severity === 'error' ? -1 : 1)
  );
}

/** Takes a problem up; `path` is where in the guide. */
export type Add = (severity: GuideProblem['severity'], code: string, path: Path, args?: Record<string, string>) => void;

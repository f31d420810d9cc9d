import { guideProblems, parseGuide } from '../../checks/guides.ts';
import { readGuideFile } from '../../guide/file/load.ts';
import { readGuidePictures, refusedPictures } from '../../guide/pictures/read-guide-pictures.ts';
import { byPlace, problemLines } from '../../guide/problems/problem.ts';
import type { GuideProblem } from '../../guide/types.ts';
import type { Testability } from '../../isolate/next/testability.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { figureLines, guideFigures } from './guide-figures.ts';

interface Checked {
  file: string;
  ok: boolean;
  problems: GuideProblem[];
  /** Null for a guide that is not usable. */
  figures: Testability | null;
  lines: string[];
}

/**
 * `guide check`: tells what is wrong with guide files and what their checks can find, and returns
 * the exit code.
 */
export async function guideCheck(files: string[], options: { json: boolean }, { terminal }: Context): Promise<number> {
  const results: Checked[] = [];
  for (const file of files) results.push(await checkFile(file));
  if (options.json)
    printJson(
      terminal,
      results.map(({ lines: _, ...told }) => told),
    );
  else {
    for (const { file, ok, problems, lines } of results) {
      const told = firstOf(problems);
      for (const line of problemLines(file, [...told], ({ severity }) => `${severity}: `)) terminal.out(line);
      if (told.length < problems.length)
        terminal.out(`${file}: is it a guide at all? It is no YAML in ${problems.length - told.length} more places.`);
      terminal.out(
        `${file}: ${ok ? 'good' : 'not usable'}${problems.length === 0 ? '' : `, ${problems.length} found`}`,
      );
      for (const line of lines) terminal.out(`  ${line}`);
    }
  }
  return results.every((r) => r.ok) ? exitCodes.passed : exitCodes.usage;
}

/** The code of what keeps a text from being YAML, and how many places of that say enough. */
const notYaml = 'yaml.syntax';
const mostTold = 3;

/** Of a file that is no YAML, the first places say enough. */
function firstOf(problems: readonly GuideProblem[]): readonly GuideProblem[] {
  return problems.every(({ code }) => code === notYaml) ? problems.slice(0, mostTold) : problems;
}

async function checkFile(file: string): Promise<Checked> {
  const parsed = parseGuide((await readGuideFile(file)).text, file);
  if (!parsed.ok) return { file, ok: false, problems: parsed.problems, figures: null, lines: [] };
  const { guide, warnings } = parsed;
  const refused = refusedPictures(guide, await readGuidePictures(guide, file));
  const problems = [...warnings, ...guideProblems(guide), ...refused].sort(byPlace);
  const ok = !problems.some((p) => p.severity === 'error');
  const figures = guideFigures(guide);
  return { file, ok, problems, figures, lines: figureLines(guide, figures) };
}

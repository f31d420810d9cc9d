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
      for (const line of problemLines(file, problems, ({ severity }) => `${severity}: `)) terminal.out(line);
      terminal.out(
        `${file}: ${ok ? 'good' : 'not usable'}${problems.length === 0 ? '' : `, ${problems.length} found`}`,
      );
      for (const line of lines) terminal.out(`  ${line}`);
    }
  }
  return results.every((r) => r.ok) ? exitCodes.passed : exitCodes.usage;
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

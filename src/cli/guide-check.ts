import { readGuideFile } from '../guide/load.ts';
import { parseGuide } from '../guide/parse.ts';
import { byPlace, problemText } from '../guide/problem.ts';
import { guideProblems } from '../guide/problems.ts';
import type { GuideProblem } from '../guide/types.ts';
import { type Context, printJson } from './context.ts';
import { exitCodes } from './exit-codes.ts';

/** `guide check`: tells what is wrong with guide files, and returns the exit code. */
export async function guideCheck(files: string[], options: { json?: boolean }, { terminal }: Context): Promise<number> {
  const results: { file: string; ok: boolean; problems: GuideProblem[] }[] = [];
  for (const file of files) results.push(await checkFile(file));
  if (options.json === true) printJson(terminal, results);
  else {
    for (const { file, ok, problems } of results) {
      for (const problem of problems) terminal.out(`${problem.severity}: ${problemText(file, problem)}`);
      terminal.out(
        `${file}: ${ok ? 'good' : 'not usable'}${problems.length === 0 ? '' : `, ${problems.length} found`}`,
      );
    }
  }
  return results.every((r) => r.ok) ? exitCodes.passed : exitCodes.usage;
}

async function checkFile(file: string) {
  const parsed = parseGuide((await readGuideFile(file)).text, file);
  if (!parsed.ok) return { file, ok: false, problems: parsed.problems };
  const problems = [...parsed.warnings, ...guideProblems(parsed.guide)].sort(byPlace);
  return { file, ok: !problems.some((p) => p.severity === 'error'), problems };
}

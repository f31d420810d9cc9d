import { type LimitsProposal, proposeLimits } from '../../calibrate/limits/limits-proposal.ts';
import { guideProblems, parseGuide } from '../../checks/guides.ts';
import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { writeOutput } from '../../files/write-output.ts';
import { withLimits } from '../../guide/file/edit-limits.ts';
import { type LoadedGuide, loadGuide } from '../../guide/file/load.ts';
import { problemText } from '../../guide/problems/problem.ts';
import type { Guide, GuideProblem, Limits } from '../../guide/types.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { limitedChecks, readKnownGood } from './known-good-sources.ts';
import type { LimitsOptions } from './limits-command.ts';
import { proposalLines } from './limits-lines.ts';

/**
 * `limits`: proposes limits for the checks of a guide from known-good units; writes them only with
 * `--write`.
 */
export async function limitsFromUnits(
  file: string,
  sources: string[],
  options: LimitsOptions,
  { terminal, signal }: Context,
): Promise<number> {
  const loaded = await loadGuide(file, checkKinds, signal);
  const { guide } = loaded;
  const checks = limitedChecks(guide).filter(({ id }) => options.check.length === 0 || options.check.includes(id));
  const strange = options.check.find((id) => !checks.some((check) => check.id === id));
  if (strange !== undefined || checks.length === 0) {
    throw new OhmwrightError('limits.check', `the guide has no check '${strange ?? ''}' with limits`, {
      help: `its checks with limits are ${limitedChecks(guide)
        .map(({ id }) => id)
        .join(', ')}`,
    });
  }
  const folder = jobsFolderOf(options.jobs, terminal);
  const recordsOf = async (source: string) => (await namedJobs([source], folder, terminal)).paths;
  const { values, notes } = await readKnownGood(guide, sources, recordsOf, options.leaveOut);
  const promise = { coverage: options.coverage, confidence: options.confidence };
  const seen = checks.filter(({ id }) => (values.get(id)?.length ?? 0) > 0);
  const proposals = seen.map((check) => proposeLimits(check.id, check.limits, values.get(check.id)!, promise));
  const sure = proposals.filter(({ verdict }) => verdict === 'proposed');
  const written = options.write && sure.length > 0 ? write(file, loaded, sure) : null;
  if (options.json) {
    const data = proposals.map((proposal) => ({ ...proposal, values: values.get(proposal.check) }));
    printJson(terminal, { guide: guide.id, ...promise, proposals: data, notes, written });
  } else {
    for (const note of notes) terminal.say(note);
    for (const proposal of proposals) {
      const title = checks.find(({ id }) => id === proposal.check)!.title;
      for (const line of proposalLines(proposal, title, values.get(proposal.check)!, promise)) terminal.out(line);
    }
    terminal.say(ending(proposals, sure, written, options.write));
  }
  // a check whose good units all read open keeps its limits for a good reason
  const isSettled = ({ verdict, reasons }: LimitsProposal): boolean =>
    verdict === 'proposed' || (verdict === 'none' && reasons.every(({ doubt }) => !doubt));
  return proposals.length > 0 && proposals.every(isSettled) ? exitCodes.passed : exitCodes.inconclusive;
}

function ending(all: LimitsProposal[], sure: LimitsProposal[], written: string | null, asked: boolean): string {
  if (all.length === 0) return 'None of the sources has a reading for a check of this guide, so nothing is proposed.';
  const count = `${sure.length} of ${all.length} checks have new limits without a doubt`;
  if (written !== null) return `${count}; they are in ${written}, everything else in it is as it was.`;
  if (asked) return `${count}; nothing was written.`;
  return sure.length === 0 ? `${count}.` : `${count}; --write puts them into the guide.`;
}

/** Puts the limits into the guide, and leaves every other character of it. */
function write(file: string, { guide, text }: LoadedGuide, sure: LimitsProposal[]): string {
  const changes = new Map<string, Limits>(sure.map(({ check, limits: found }) => [check, found!]));
  const edited = withLimits(text, guide, changes, checkKinds);
  if (!edited.ok) {
    throw new OhmwrightError(
      'limits.write',
      `the limits of ${edited.check} can't be written into ${file}: ${edited.what}`,
      {
        help: 'nothing was changed; put the limits in by hand',
      },
    );
  }
  const [problem] = newErrors(guide, edited.text, file);
  if (problem !== undefined) {
    throw new OhmwrightError('limits.write', `with the new limits ${problemText(file, problem)}`, {
      help: 'nothing was changed; leave that check out (--check names those to be done), or mend the guide first',
    });
  }
  // to change this very file is what was asked for
  writeOutput(file, edited.text, { force: true });
  return file;
}

/** Errors that the edited guide has and the guide had not. */
function newErrors(guide: Guide, edited: string, file: string): GuideProblem[] {
  const parsed = parseGuide(edited, file);
  if (!parsed.ok) return parsed.problems;
  const known = new Set(guideProblems(guide).map(({ code, path }) => `${code} ${path}`));
  return guideProblems(parsed.guide).filter(
    ({ severity, code, path }) => severity === 'error' && !known.has(`${code} ${path}`),
  );
}

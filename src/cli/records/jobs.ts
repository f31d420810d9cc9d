import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { LocalClock } from '../../ports/local-clock.ts';
import { isWanted } from '../../verify/folder/job-filter.ts';
import type { JobSummary } from '../../verify/folder/job-summary.ts';
import { localClock } from '../places/local-time.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { summariesOf } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { verdictExits, worstExit } from '../program/exit-codes.ts';
import type { JobsOptions } from './jobs-command.ts';

/** `jobs`: lists the records of the jobs folder, latest first. */
export async function showJobs(named: string[], options: JobsOptions, { terminal }: Context): Promise<number> {
  for (const name of ['since', 'until'] as const) refuseUnlessDay(name, options[name]);
  const folder = jobsFolderOf(options.jobs, terminal);
  const clock = localClock(terminal);
  const all = await summariesOf(named, folder, terminal);
  const list = all.filter((job) => isWanted(job, options, clock.day));
  const exitCode = worstExit(list.map(({ verdict }) => verdictExits[verdict]));
  if (options.json) {
    printJson(terminal, list.map(toldJob));
    return exitCode;
  }
  const where = named.length === 0 ? folder : named.join(', ');
  if (list.length === 0) {
    terminal.say(
      all.length === 0 ? `No jobs in ${where}.` : `None of the ${all.length} jobs in ${where} is like that.`,
    );
  }
  for (const job of list) terminal.out(jobLine(job, clock));
  if (list.length > 0) terminal.say(`Times are of the latest entry, by the clock here (${clock.zone}).`);
  return exitCode;
}

/** Older names stand beside those that every command uses. */
function toldJob(job: JobSummary) {
  return { record: job.path, ...job, guideTitle: job.guide, entryCount: job.entries };
}

function jobLine(job: JobSummary, clock: LocalClock): string {
  const state = job.verdict === 'departs' ? 'NOT verified' : job.open ? 'open' : job.result;
  const device = job.device === null ? '' : `${job.device.maker} ${job.device.name} ${job.device.revision}`;
  const { passed, failed, checks } = job.counts;
  const ticket = job.ticket === null ? '' : `, ticket ${job.ticket}`;
  const units = job.units.length === 0 ? '' : `; ${job.units.join(', ')}`;
  const trouble = job.trouble === null ? '' : ` - ${job.trouble}`;
  const at = job.lastAt === null ? '' : clock.time(job.lastAt).slice(0, 16);
  return `${job.job ?? job.path}  ${at.padEnd(16)}  ${state.padEnd(14)}  ${device}${ticket}: ${passed} passed, ${failed} failed of ${checks}${units}${trouble}`;
}

function refuseUnlessDay(name: string, text: string | undefined): void {
  if (text === undefined) return;
  const isDay = /^\d{4}-\d\d-\d\d$/.test(text) && new Date(`${text}T00:00:00Z`).toJSON()?.slice(0, 10) === text;
  if (isDay) return;
  throw new OhmwrightError('usage.date', `--${name} ${text}: that is no day.`, {
    help: 'Write it as year, month and day, such as 2026-03-31.',
  });
}

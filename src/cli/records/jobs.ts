import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { benchSecret } from '../../record/signing/bench-key.ts';
import { isWanted } from '../../verify/folder/job-filter.ts';
import type { JobSummary } from '../../verify/folder/job-summary.ts';
import { listJobs } from '../../verify/folder/list-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { verdictExits, worstExit } from '../program/exit-codes.ts';
import { benchKeyPath, jobsFolderOf } from '../program/locations.ts';
import type { JobsOptions } from './jobs-command.ts';

/** `jobs`: lists the records of the jobs folder, latest first. */
export async function showJobs(options: JobsOptions, { terminal }: Context): Promise<number> {
  for (const name of ['since', 'until'] as const) refuseUnlessDay(name, options[name]);
  const folder = jobsFolderOf(options.jobs, terminal);
  const all = await listJobs(folder, terminal.now().getTime(), benchSecret(benchKeyPath(terminal)));
  const list = all.filter((job) => isWanted(job, options));
  const exitCode = worstExit(list.map(({ verdict }) => verdictExits[verdict]));
  if (options.json) {
    printJson(terminal, list);
    return exitCode;
  }
  if (list.length === 0) {
    terminal.say(
      all.length === 0 ? `No jobs in ${folder}.` : `None of the ${all.length} jobs in ${folder} is like that.`,
    );
  }
  for (const job of list) terminal.out(jobLine(job));
  return exitCode;
}

function jobLine(job: JobSummary): string {
  const state = job.verdict === 'departs' ? 'NOT verified' : job.open ? 'open' : job.result;
  const device = job.device === null ? '' : `${job.device.maker} ${job.device.name} ${job.device.revision}`;
  const { passed, failed, checks } = job.counts;
  const ticket = job.ticket === null ? '' : `, ticket ${job.ticket}`;
  const units = job.units.length === 0 ? '' : `; ${job.units.join(', ')}`;
  const trouble = job.trouble === null ? '' : ` - ${job.trouble}`;
  return `${job.job ?? job.path}  ${state.padEnd(14)}  ${device}${ticket}: ${passed} passed, ${failed} failed of ${checks}${units}${trouble}`;
}

function refuseUnlessDay(name: string, text: string | undefined): void {
  if (text === undefined) return;
  const isDay = /^\d{4}-\d\d-\d\d$/.test(text) && new Date(`${text}T00:00:00Z`).toJSON()?.slice(0, 10) === text;
  if (isDay) return;
  throw new OhmwrightError('usage.date', `--${name} ${text}: that is no day.`, {
    help: 'Write it as year, month and day, such as 2026-03-31.',
  });
}

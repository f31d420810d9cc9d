import { listJobs } from '../job/list-jobs.ts';
import { type Context, printJson } from './context.ts';
import { exitCodes } from './exit-codes.ts';
import { jobsFolderOf } from './record-path.ts';

/** `jobs`: lists the records of the jobs folder, latest first. */
export async function jobs(options: { json?: boolean; jobs?: string }, { terminal }: Context): Promise<number> {
  const folder = jobsFolderOf(options.jobs, terminal);
  const list = await listJobs(folder);
  if (options.json === true) {
    printJson(terminal, list);
    return exitCodes.passed;
  }
  if (list.length === 0) terminal.say(`No jobs in ${folder}.`);
  for (const job of list) {
    const state = job.open ? 'open' : job.result;
    const device = job.device === null ? '' : `${job.device.maker} ${job.device.name} ${job.device.revision}`;
    const { passed, failed, checks } = job.counts;
    const ticket = job.ticket === null ? '' : `, ticket ${job.ticket}`;
    const trouble = job.trouble === null ? '' : ` - ${job.trouble}`;
    terminal.out(
      `${job.job ?? job.path}  ${state.padEnd(12)}  ${device}${ticket}: ${passed} passed, ${failed} failed of ${checks}${trouble}`,
    );
  }
  return exitCodes.passed;
}

import { allReaders } from '../../report/paper/reader.ts';
import { defineCommand } from '../program/define-command.ts';
import { choice, choiceOr, flag, hidden, type OptionsOf, setBy, text } from '../program/option-kinds.ts';
import { force, jobs, jobsArgument } from '../program/program-options.ts';

const options = {
  out: text('<file>', "where it goes (default: named after the job, here); '-' for stdout"),
  for: choice('<reader>', 'whom the paper is for (default: all three in one file)', allReaders),
  paper: setBy('paper', choiceOr('A4', '<paper>', 'paper that it is printed on', ['A4', 'letter'])),
  csv: hidden(flag('the same as export --as csv, named after the job')),
  force,
  jobs,
};
export type ReportOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'report JOB --out job.html',
  takes: [jobsArgument],
  options,
  load: async () => (await import('./report.ts')).report,
});

import { defineCommand } from '../program/define-command.ts';
import { flag, neededChoice, type OptionsOf, text } from '../program/option-kinds.ts';
import { force, jobs, jobsArgument } from '../program/program-options.ts';

const options = {
  as: neededChoice(
    '<form>',
    'junit or tap for continuous integration, csv of all readings, one archive of record, guide and report, or the record itself',
    ['junit', 'tap', 'csv', 'archive', 'record'],
  ),
  out: text('<file>', 'where it goes (default: stdout)'),
  force,
  withoutCustomer: flag("leave the customer's name and contact out; the record verifies as before"),
  jobs,
};
export type ExportOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'export JOB --as archive --out job.zip',
  takes: [jobsArgument],
  options,
  load: async () => (await import('./export.ts')).exportJobs,
});

import { defineCommand } from '../program/define-command.ts';
import { choice, flag, formerly, hidden, type OptionsOf, text } from '../program/option-kinds.ts';
import { jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  model: formerly('device', text('<text>', 'the device by a part of maker, name, revision or serial number')),
  ticket: text('<text>', 'ticket number, or a part of it'),
  unit: text('<id>', 'a unit that was found at fault or changed'),
  outcome: choice('<result>', 'what the job came to', [
    'passed',
    'repaired',
    'no-fault-found',
    'failed',
    'inconclusive',
    'abandoned',
    'open',
  ]),
  open: hidden(flag('the same as --outcome open')),
  since: text('<day>', 'latest entry on this day or later, by the clock here (YYYY-MM-DD)'),
  until: text('<day>', 'latest entry on this day or earlier'),
  json,
  jobs,
};
export type JobsOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'jobs --outcome failed --since 2026-01-01',
  takes: [jobsOrAllArgument],
  options,
  prints: async () => (await import('../outputs/job-outputs.ts')).jobsForm,
  load: async () => (await import('./jobs.ts')).showJobs,
});

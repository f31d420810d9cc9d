import { defineCommand } from '../program/define-command.ts';
import { flag, type OptionsOf } from '../program/option-kinds.ts';
import { about, jobs, jobsArgument, json } from '../program/program-options.ts';

const options = { json, jobs, budget: flag(`${about.budget}: with each reading`) };
export type ShowOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'show last',
  takes: [jobsArgument],
  options,
  prints: async () => (await import('../outputs/job-outputs.ts')).showForm,
  load: async () => (await import('./show.ts')).show,
});

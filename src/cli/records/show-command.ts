import { defineCommand } from '../program/define-command.ts';
import { flag, type OptionsOf } from '../program/option-kinds.ts';
import { jobs, jobsArgument, json } from '../program/program-options.ts';

const options = { json, jobs, budget: flag('with each reading what its uncertainty is made of') };
export type ShowOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'show last',
  takes: [jobsArgument],
  options,
  load: async () => (await import('./show.ts')).show,
});

import { defineCommand } from '../program/define-command.ts';
import { flag, neededText, type OptionsOf, text } from '../program/option-kinds.ts';
import { force, jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  guide: neededText('<file>', 'the guide whose weights are proposed'),
  write: text('<file>', 'after showing them, write the guide with these weights into this new file'),
  force,
  emulated: flag('count jobs on the emulated probe too'),
  json,
  jobs,
};
export type PriorsOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'priors ohmwright-jobs --guide my-device.yaml --write my-device-2.yaml',
  takes: [jobsOrAllArgument],
  options,
  load: async () => (await import('./priors.ts')).priors,
});

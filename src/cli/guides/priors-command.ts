import { defineCommand } from '../program/define-command.ts';
import { flag, formerly, neededText, type OptionsOf, text } from '../program/option-kinds.ts';
import { about, force, jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  guide: neededText('<file>', `${about.guide}: its weights are proposed`),
  out: formerly('write', text('<file>', 'where it goes: the guide with these weights, beside being shown')),
  force,
  withEmulated: formerly('emulated', flag('count jobs on the emulated probe too')),
  ledger: text('<folder>', 'folder of the ledger: count all jobs in it, in place of records'),
  json,
  jobs,
};
export type PriorsOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'priors ohmwright-jobs --guide my-device.yaml --out my-device-2.yaml',
  takes: [jobsOrAllArgument],
  options,
  prints: async () => (await import('../outputs/guide-outputs.ts')).priorsForm,
  load: async () => (await import('./priors.ts')).priors,
});

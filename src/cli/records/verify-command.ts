import { defineCommand } from '../program/define-command.ts';
import { flag, type OptionsOf, text } from '../program/option-kinds.ts';
import { jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  chainOnly: flag('only the hashes and their order, nothing of what the entries say'),
  key: text('<key>', 'public key of the bench that must have signed them: in base64, or a file with it'),
  label: text('<text>', "what the code on the device's label says: the record must hold that entry"),
  json,
  jobs,
};
export type VerifyCommandOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'verify ohmwright-jobs',
  takes: [jobsOrAllArgument],
  options,
  load: async () => (await import('./verify.ts')).verify,
});

import { defineCommand } from '../program/define-command.ts';
import { flag, type OptionsOf, text, texts } from '../program/option-kinds.ts';
import { jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  chainOnly: flag('only the hashes and their order, nothing of what the entries say'),
  key: text('<key>', 'public key of the bench that must have signed them: in base64, or a file with it'),
  label: text('<text>', "what the code on the device's label says: the record must hold that entry"),
  explain: flag('of each statement: what it follows from, under which rules, and what came out'),
  calibration: texts(
    '<file>',
    'a calibration file of the host: what came from it must be what it holds; may be repeated',
  ),
  json,
  jobs,
};
export type VerifyCommandOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'verify ohmwright-jobs',
  takes: [jobsOrAllArgument],
  options,
  prints: async () => (await import('../outputs/verify-outputs.ts')).verifyForm,
  load: async () => (await import('./verify.ts')).verify,
});

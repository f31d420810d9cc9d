import { defineCommand } from '../program/define-command.ts';
import { flag, type OptionsOf } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';

const options = {
  emulated: flag('the key that jobs on the emulated probe are signed with'),
  renew: flag('make a new key in its place: the old one signs it, and is kept beside it'),
  pem: flag('as PEM, for other programs'),
  json,
};
export type KeyOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'key',
  options,
  prints: async () => (await import('../outputs/bench-outputs.ts')).keyForm,
  load: async () => (await import('./key.ts')).key,
});

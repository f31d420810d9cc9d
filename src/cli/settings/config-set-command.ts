import { defineCommand } from '../program/define-command.ts';
import type { OptionsOf } from '../program/option-kinds.ts';
import { shop } from './shop-option.ts';

const options = { shop };
export type ConfigSetOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'config set technician "M. Example"',
  takes: [
    ['<key>', 'setting'],
    ['<value>', 'what it shall be'],
  ],
  options,
  load: async () => (await import('./config.ts')).configSet,
});

import { defineCommand } from '../program/define-command.ts';
import { shop } from './shop-option.ts';

export default defineCommand({
  example: 'config unset port',
  takes: [['<key>', 'setting']],
  options: { shop },
  load: async () => (await import('./config.ts')).configUnset,
});

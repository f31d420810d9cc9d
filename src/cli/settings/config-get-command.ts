import { defineCommand } from '../program/define-command.ts';
import { json } from '../program/program-options.ts';

export default defineCommand({
  example: 'config get port',
  takes: [['<key>', 'setting']],
  options: { json },
  prints: async () => (await import('../outputs/bench-outputs.ts')).configGetForm,
  load: async () => (await import('./config.ts')).configGet,
});

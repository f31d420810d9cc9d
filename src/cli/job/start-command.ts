import { defineCommand } from '../program/define-command.ts';
import { startOptions } from '../program/program-options.ts';

export default defineCommand({
  example: 'start examples/field-recorder.yaml --port /dev/ttyUSB0',
  takes: [['<guide>', 'guide file']],
  options: startOptions,
  prints: async () => (await import('../outputs/job-outputs.ts')).sessionForm,
  load: async () => (await import('./start.ts')).start,
});

import { defineCommand } from '../program/define-command.ts';
import { json } from '../program/program-options.ts';

export default defineCommand({
  example: 'guide check examples/field-recorder.yaml',
  takes: [['<guides...>', 'guide files']],
  options: { json },
  prints: async () => (await import('../outputs/guide-outputs.ts')).guideCheckForm,
  load: async () => (await import('./guide-check.ts')).guideCheck,
});

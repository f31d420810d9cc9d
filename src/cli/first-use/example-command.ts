import { defineCommand } from '../program/define-command.ts';
import { force, json } from '../program/program-options.ts';

export default defineCommand({
  example: 'example field-recorder',
  takes: [['[names...]', 'files, or names without ending; none: they are listed']],
  options: { force, json },
  prints: async () => (await import('../outputs/bench-outputs.ts')).exampleForm,
  load: async () => (await import('./example.ts')).example,
});

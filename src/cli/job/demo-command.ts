import { defineCommand } from '../program/define-command.ts';
import { demoOptions } from '../program/program-options.ts';

export default defineCommand({
  example: 'demo --seed 7',
  options: demoOptions,
  prints: async () => (await import('../outputs/job-outputs.ts')).sessionForm,
  load: async () => (await import('./demo.ts')).demo,
});

import { defineCommand } from '../program/define-command.ts';
import { jobArgument, resumeOptions } from '../program/program-options.ts';

export default defineCommand({
  example: 'resume last',
  takes: [jobArgument],
  options: resumeOptions,
  prints: async () => (await import('../outputs/job-outputs.ts')).sessionForm,
  load: async () => (await import('./start.ts')).resume,
});

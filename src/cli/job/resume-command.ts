import { defineCommand } from '../program/define-command.ts';
import { recordArgument, resumeOptions } from '../program/program-options.ts';

export default defineCommand({
  example: 'resume JOB',
  takes: [recordArgument],
  options: resumeOptions,
  load: async () => (await import('./start.ts')).resume,
});

import { defineCommand } from '../program/define-command.ts';
import { addendumOptions, jobArgument } from '../program/program-options.ts';

export default defineCommand({
  example: "addendum last --why 'the spring arrived'",
  takes: [jobArgument],
  options: addendumOptions,
  prints: async () => (await import('../outputs/job-outputs.ts')).sessionForm,
  load: async () => (await import('./addendum.ts')).addendum,
});

import { defineCommand } from '../program/define-command.ts';
import { runOptions } from '../program/program-options.ts';

export default defineCommand({
  example: 'run examples/field-recorder.yaml --revision A --ticket T1',
  takes: [['[guide]', 'guide file; not with --resume']],
  options: runOptions,
  prints: async () => (await import('../outputs/job-outputs.ts')).sessionForm,
  load: async () => (await import('./run.ts')).run,
});

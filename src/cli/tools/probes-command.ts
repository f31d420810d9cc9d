import { defineCommand } from '../program/define-command.ts';
import { json } from '../program/program-options.ts';

export default defineCommand({
  example: 'probes --json',
  takes: [['[ports...]', 'ports to look at; all that the system lists if none is named']],
  options: { json },
  prints: async () => (await import('../outputs/bench-outputs.ts')).probesForm,
  load: async () => (await import('./probes.ts')).probes,
});

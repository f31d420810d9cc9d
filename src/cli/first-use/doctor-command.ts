import { defineCommand } from '../program/define-command.ts';
import { jobs, json, port } from '../program/program-options.ts';

export default defineCommand({
  example: 'doctor',
  options: { port, jobs, json },
  prints: async () => (await import('../outputs/bench-outputs.ts')).doctorForm,
  load: async () => (await import('./doctor.ts')).doctor,
});

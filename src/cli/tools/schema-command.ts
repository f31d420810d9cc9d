import { defineCommand } from '../program/define-command.ts';

export default defineCommand({
  example: 'schema verify',
  takes: [['[command...]', 'words that call a command; none: those that have --json are listed']],
  options: {},
  load: async () => (await import('./schema.ts')).schema,
});

import { defineCommand } from '../program/define-command.ts';
import { force } from '../program/program-options.ts';

export default defineCommand({
  example: 'guide new my-device.yaml',
  takes: [['[file]', 'new file; without one, the guide is printed']],
  options: { force },
  load: async () => (await import('./guide-new.ts')).guideNew,
});

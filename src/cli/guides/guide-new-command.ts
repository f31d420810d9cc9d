import { defineCommand } from '../program/define-command.ts';
import { setBy, text } from '../program/option-kinds.ts';
import { force } from '../program/program-options.ts';

export default defineCommand({
  example: 'guide new my-device.yaml',
  takes: [['[file]', 'new file; without one, the guide is printed']],
  options: { force, currency: setBy('currency', text('<name>', 'currency of its prices (default: EUR)')) },
  load: async () => (await import('./guide-new.ts')).guideNew,
});

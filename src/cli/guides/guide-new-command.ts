import { defineCommand } from '../program/define-command.ts';
import { choice, setBy, text } from '../program/option-kinds.ts';
import { force } from '../program/program-options.ts';
import { starterTableNames } from './starters/starter-tables.ts';

export default defineCommand({
  example: 'guide new my-device.yaml',
  takes: [['[file]', 'new file; without one, the guide is printed']],
  options: {
    force,
    like: choice(
      '<kind>',
      'a table to fill for a common build, in place of a guide that is written out',
      starterTableNames,
    ),
    currency: setBy('currency', text('<name>', 'currency of its prices (default: EUR)')),
  },
  load: async () => (await import('./guide-new.ts')).guideNew,
});

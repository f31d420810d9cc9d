import { defineCommand } from '../program/define-command.ts';
import { type OptionsOf, text, texts } from '../program/option-kinds.ts';
import { runOptions } from '../program/program-options.ts';

const { resume: _resume, record: _record, order: _order, repair: _repair, ...session } = runOptions;
const compareOptions = {
  ...session,
  pads: texts('<pads>', 'two pads to compare, as K1,K2; for two keys K1,K2=K3,K4; may be repeated'),
  pressed: text('<id>', 'a key held down, at every touch'),
};
export type CompareOptions = OptionsOf<typeof compareOptions>;

export default defineCommand({
  example: 'compare shelf-unit customer-unit --pads K1,K2 --pads S1,J1',
  takes: [
    ['<good>', 'name of the good unit or key; or the record of one that was compared'],
    ['<bad>', 'name of the other one; or its record'],
  ],
  options: compareOptions,
  prints: async () => (await import('../outputs/guide-outputs.ts')).compareForm,
  load: async () => (await import('./compare.ts')).compare,
});

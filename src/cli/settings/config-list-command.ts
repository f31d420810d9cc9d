import { defineCommand } from '../program/define-command.ts';
import { type OptionsOf, text } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';

const options = { json, jobs: text('<folder>', "jobs folder: its shop's file counts") };
export type ConfigListOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'config list',
  options,
  prints: async () => (await import('../outputs/bench-outputs.ts')).configListForm,
  load: async () => (await import('./config.ts')).configList,
});

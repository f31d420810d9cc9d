import { defineCommand } from '../program/define-command.ts';
import { type OptionsOf, text } from '../program/option-kinds.ts';
import { jobArgument, startOptions } from '../program/program-options.ts';

const learnOptions = {
  ...startOptions,
  resume: text('<job>', `go on with this job, or make the guide of one that is closed: ${jobArgument[1]}`),
};
export type LearnOptions = OptionsOf<typeof learnOptions>;

export default defineCommand({
  example: 'learn my-table.yaml my-guide.yaml --port sim: --device examples/field-recorder.yaml',
  takes: [
    ['<table>', 'short guide with a table of lines; its checks are not looked at'],
    ['[file]', 'new file; without one, the guide is printed'],
  ],
  options: learnOptions,
  prints: async () => (await import('../outputs/guide-outputs.ts')).learnForm,
  load: async () => (await import('./learn.ts')).learn,
});

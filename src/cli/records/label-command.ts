import { defineCommand } from '../program/define-command.ts';
import { choiceOr, type OptionsOf, text } from '../program/option-kinds.ts';
import { force, jobs, jobsArgument } from '../program/program-options.ts';

const options = {
  width: choiceOr('48', '<columns>', "the printer's columns", ['32', '48']),
  svg: text('<file>', 'write the QR code of job, result and digest as an SVG picture'),
  force,
  jobs,
};
export type LabelOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'label JOB --width 32',
  takes: [jobsArgument],
  options,
  load: async () => (await import('./export.ts')).label,
});

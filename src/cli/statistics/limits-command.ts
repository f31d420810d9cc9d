import { defineCommand } from '../program/define-command.ts';
import { flag, numberOr, type OptionsOf, share, texts } from '../program/option-kinds.ts';
import { about, jobs, jobsArgument, json } from '../program/program-options.ts';

const options = {
  coverage: numberOr(0.95, '<p>', 'share of good units that shall be inside', share),
  confidence: numberOr(0.95, '<p>', about.confidence, share),
  check: texts('<check>', 'only this check; may be repeated'),
  leaveOut: texts('<unit>', 'a unit that does not belong, and you know why; may be repeated'),
  write: flag('put the limits without a doubt into the guide, and leave every other character of it'),
  json,
  jobs,
};
export type LimitsOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'limits examples/field-recorder.yaml examples/known-good.csv',
  takes: [
    ['<guide>', 'guide file'],
    ['<sources...>', `known-good units: ${jobsArgument[1]}; or CSV files: unit,check,reading`],
  ],
  options,
  prints: async () => (await import('../outputs/statistics-outputs.ts')).limitsForm,
  load: async () => (await import('./limits.ts')).limitsFromUnits,
});

import { InvalidArgumentError } from 'commander';
import { usualHealth } from '../../calibrate/health/probe-health.ts';
import { defineCommand } from '../program/define-command.ts';
import { numberOr, type OptionsOf, share, text, wholeNumberIn } from '../program/option-kinds.ts';
import { jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  port: text('<path>', 'only the probe on this port'),
  probe: text('<serial>', 'only the probe with this serial number'),
  lambda: numberOr(usualHealth.lambda, '<p>', 'weight of the newest proof in the average', share),
  width: numberOr(usualHealth.width, '<n>', 'limits, in standard deviations of the average', width),
  baseline: numberOr(usualHealth.baseline, '<n>', 'proofs that show what is usual', wholeNumberIn(1, 10_000)),
  json,
  jobs,
};
export type HealthOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'health ohmwright-jobs',
  takes: [jobsOrAllArgument],
  options,
  load: async () => (await import('./health.ts')).health,
});

function width(value: string): number {
  const deviations = Number(value);
  if (deviations > 0 && deviations <= 100) return deviations;
  throw new InvalidArgumentError('It takes a number above 0, such as 3.');
}

import { InvalidArgumentError } from 'commander';
import { usualHealth } from '../../calibrate/health/probe-health.ts';
import { defineCommand } from '../program/define-command.ts';
import { formerly, numberOr, type OptionsOf, share, text, wholeNumberIn } from '../program/option-kinds.ts';
import { about, jobs, jobsOrAllArgument, json } from '../program/program-options.ts';

const options = {
  port: text('<path>', 'serial port of the probe: only its proofs'),
  probe: text('<serial>', `${about.probe}: only its proofs`),
  lambda: numberOr(usualHealth.lambda, '<p>', 'weight of the newest proof in the average', share),
  deviations: formerly(
    'width',
    numberOr(usualHealth.deviations, '<n>', 'limits, in standard deviations of the average', deviations),
  ),
  baseline: numberOr(usualHealth.baseline, '<n>', 'proofs that show what is usual', wholeNumberIn(1, 10_000)),
  json,
  jobs,
};
export type HealthOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'health ohmwright-jobs',
  takes: [jobsOrAllArgument],
  options,
  prints: async () => (await import('../outputs/statistics-outputs.ts')).healthForm,
  load: async () => (await import('./health.ts')).health,
});

function deviations(value: string): number {
  const read = Number(value);
  if (read > 0 && read <= 100) return read;
  throw new InvalidArgumentError('It takes a number above 0, such as 3.');
}

import { defineCommand } from '../program/define-command.ts';
import { numberOr, type OptionsOf, share, wholeNumberIn } from '../program/option-kinds.ts';
import { about, json } from '../program/program-options.ts';

const options = {
  acceptable: numberOr(0.01, '<p>', 'share of bad presses that is acceptable', share),
  rejectable: numberOr(0.1, '<p>', 'share of bad presses to be rejected', share),
  alpha: numberOr(0.05, '<p>', 'chance of rejecting an acceptable key', share),
  beta: numberOr(0.05, '<p>', 'chance of accepting a key to be rejected', share),
  confidence: numberOr(0.95, '<p>', `${about.confidence}, of the success runs`, share),
  cap: numberOr(200, '<n>', 'presses after which the test ends undecided', wholeNumberIn(1, 10_000)),
  json,
};
export type LimitsPressesOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'limits presses examples/field-recorder.yaml --rejectable 5%',
  takes: [['[guide]', 'guide file: also what its press checks find']],
  options,
  prints: async () => (await import('../outputs/statistics-outputs.ts')).limitsPressesForm,
  load: async () => (await import('./limits-presses.ts')).limitsPresses,
});

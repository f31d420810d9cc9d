import { defineCommand } from '../program/define-command.ts';
import { numberOr, type OptionsOf, text, wholeNumber } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';
import { validDays } from './calibrate-command.ts';

const options = {
  set: text('<file>', 'resistor set that the points name their resistors by'),
  serial: numberOr(0, '<n>', 'serial number of the probe, for the block in --json', wholeNumber),
  validDays: validDays('days that the calibration holds, for the block in --json'),
  json,
};
export type CalibrateFitOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'calibrate fit examples/bench-points.csv --set examples/bench-resistors.yaml',
  takes: [['<points>', 'CSV file of points']],
  options,
  load: async () => (await import('./calibrate-fit.ts')).calibrateFit,
});

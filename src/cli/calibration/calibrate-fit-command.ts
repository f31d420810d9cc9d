import { InvalidArgumentError } from 'commander';
import { defineCommand } from '../program/define-command.ts';
import { formerly, numberOr, type OptionsOf, text, wholeNumber } from '../program/option-kinds.ts';
import { about, json } from '../program/program-options.ts';
import { validDays } from './calibrate-command.ts';

const options = {
  set: text('<file>', `${about.set}: the points name their resistors by it`),
  probe: formerly(
    'serial',
    numberOr(0, '<serial>', `${about.probe}; for the block in --json`, probeSerial),
    numberOr(0, '<n>', 'the same in decimal digits', wholeNumber),
  ),
  validDays: validDays('days that the calibration holds, for the block in --json'),
  json,
};
export type CalibrateFitOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'calibrate fit examples/bench-points.csv --set examples/bench-resistors.yaml',
  takes: [['<points>', 'CSV file of points']],
  options,
  prints: async () => (await import('../outputs/calibration-outputs.ts')).calibrateFitForm,
  load: async () => (await import('./calibrate-fit.ts')).calibrateFit,
});

/** Reads a serial number as the program shows it: eight hexadecimal digits, without zeros in front if one likes. */
function probeSerial(value: string): number {
  const bare = value.trim();
  if (/^[0-9a-f]{1,8}$/i.test(bare)) return Number.parseInt(bare, 16);
  throw new InvalidArgumentError('It takes a serial number as `ohmwright probes` shows it, such as 000DBBA1.');
}

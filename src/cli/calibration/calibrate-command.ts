import { InvalidArgumentError } from 'commander';
import { defineCommand } from '../program/define-command.ts';
import { flag, number, numberOr, type OptionsOf, text, texts, wholeNumberIn } from '../program/option-kinds.ts';
import { about, calibrations, json, onPage, onScreen, port, seed } from '../program/program-options.ts';

/** What the block in the probe has room for. */
const mostDays = 65_535;
/** Days that a calibration holds. */
export const validDays = (about: string) => numberOr(365, '<n>', about, wholeNumberIn(1, mostDays, 'days'));

const options = {
  ...onScreen,
  ...onPage,
  port,
  json,
  set: text('<file>', `${about.set} (default for emulated hands: the example set)`),
  resistor: texts(
    '<marking>',
    "a resistor by value and tolerance ('470 ohm 0.1 %'), letters or bands; may be repeated",
  ),
  validDays: validDays('days that the calibration holds'),
  temperature: number('<celsius>', 'temperature of the probe, if it is known', temperature),
  writeProbe: flag("also write it into the probe's memory, read back and compared"),
  acceptDoubtful: flag('put a doubtful calibration in force, having read why it is'),
  calibrations,
  hands: flag('with --port sim: the emulated hands present the resistors'),
  seed,
};
export type CalibrateOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'calibrate --port /dev/ttyUSB0 --set examples/bench-resistors.yaml --write-probe',
  options,
  prints: async () => (await import('../outputs/calibration-outputs.ts')).calibrateForm,
  load: async () => (await import('./calibrate.ts')).calibrate,
});

function temperature(value: string): number {
  const celsius = Number(value);
  if (value.trim() !== '' && celsius >= -40 && celsius <= 125) return celsius;
  throw new InvalidArgumentError('It takes degrees Celsius from -40 to 125.');
}

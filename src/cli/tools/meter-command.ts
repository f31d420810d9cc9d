import { defineCommand } from '../program/define-command.ts';
import { choiceOr, flag, number, type OptionsOf, text, wholeNumber } from '../program/option-kinds.ts';
import { about, calibrations, force, json, onPage, onScreen, port, simulated } from '../program/program-options.ts';

const options = {
  ...onScreen,
  ...onPage,
  ...simulated,
  port,
  json,
  calibrations,
  guide: text('<file>', `${about.guide}: the device at the tips of an emulated probe`),
  between: text('<pads>', `${about.between}, touched by the tips of an emulated probe`),
  quantity: choiceOr('resistance', '<name>', 'what to read', ['resistance', 'voltage']),
  level: choiceOr('normal', '<name>', 'open-circuit level', ['normal', 'dry']),
  count: number('<n>', 'stop after this many lines (about ten a second)', wholeNumber),
  budget: flag(`${about.budget}: with each line; on the screen in place of the trace (key u)`),
  export: text('<file>', 'also write every line to this file as CSV'),
  force,
};
export type MeterOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'meter --port /dev/ttyUSB0 --export seen.csv',
  options,
  prints: async () => (await import('../outputs/bench-outputs.ts')).meterForm,
  load: async () => (await import('./meter.ts')).meter,
});

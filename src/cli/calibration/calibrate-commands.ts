import { InvalidArgumentError } from 'commander';
import type { CommandMaker } from '../program/command-maker.ts';
import { collect, json, onScreen, port, wholeNumber } from '../program/program-options.ts';

/** What the block in the probe has room for. */
const mostDays = 65_535;

/** Adds `calibrate` and `calibrate fit`. */
export function addCalibrateCommands({ command, context, setExit }: CommandMaker): void {
  const calibrate = onScreen(
    command(
      'calibrate',
      'calibrate a probe against known resistors, hands-free, on the live screen (in a pipe: as lines)',
      'calibrate --port /dev/ttyUSB0 --set examples/bench-resistors.yaml --write-probe',
    ),
  )
    .addOption(port())
    .addOption(json())
    .option('--set <file>', 'file of the resistor set that is presented (default for emulated hands: the example set)')
    .option(
      '--resistor <marking>',
      "a resistor by value and tolerance ('470 ohm 0.1 %'), letters or bands; may be repeated",
      collect,
    )
    .option('--valid-days <n>', 'days that the calibration holds', days, 365)
    .option('--temperature <celsius>', 'temperature of the probe, if it is known', temperature)
    .option('--write-probe', "also write it into the probe's memory, read back and compared")
    .option('--accept-doubtful', 'put a doubtful calibration in force, having read why it is')
    .option(
      '--calibrations <folder>',
      'calibrations folder (default ./ohmwright-calibrations, or OHMWRIGHT_CALIBRATIONS)',
    )
    .option('--hands', 'with --port sim: the emulated hands present the resistors')
    .option('--seed <n>', 'seed of the emulated probe, resistors and hands', wholeNumber, 1)
    .action(async (options) => setExit(await (await import('./calibrate.ts')).calibrate(options, context)));
  calibrate
    .enablePositionalOptions()
    .command('fit')
    .description('fit measured points and tell how far they can be relied on; writes nothing')
    .argument('<points>', 'CSV file of points')
    .option('--set <file>', 'resistor set that the points name their resistors by')
    .option('--serial <n>', 'serial number of the probe, for the block in --json', wholeNumber, 0)
    .option('--valid-days <n>', 'days that the calibration holds, for the block in --json', days, 365)
    .addOption(json())
    .addHelpText(
      'after',
      '\nExample:\n  ohmwright calibrate fit examples/bench-points.csv --set examples/bench-resistors.yaml\n',
    )
    .action(async (points, options) =>
      setExit(await (await import('./calibrate-fit.ts')).calibrateFit(points, options, context)),
    );
}

function days(value: string): number {
  const number = wholeNumber(value);
  if (number < 1 || number > mostDays) throw new InvalidArgumentError(`It takes 1 to ${mostDays} days.`);
  return number;
}

function temperature(value: string): number {
  const celsius = Number(value);
  if (value.trim() === '' || !(celsius >= -40 && celsius <= 125)) {
    throw new InvalidArgumentError('It takes degrees Celsius from -40 to 125.');
  }
  return celsius;
}

import { InvalidArgumentError, Option } from 'commander';
import { usualHealth } from '../../calibrate/health/probe-health.ts';
import type { CommandMaker } from '../program/command-maker.ts';
import { collect, jobsFolder, json } from '../program/program-options.ts';

/** Adds the commands that learn from many jobs: `limits`, `limits presses`, `health`. */
export function addStatisticsCommands({ command, context, setExit }: CommandMaker): void {
  const limits = command(
    'limits',
    "propose limits for a guide's checks from known-good units",
    'limits examples/field-recorder.yaml examples/known-good.csv',
  )
    .argument('<guide>', 'guide file')
    .argument(
      '<sources...>',
      'job records of known-good units (files, names, or a folder), or CSV files: unit,check,reading',
    )
    .addOption(new Option('--coverage <p>', 'share of good units that shall be inside').argParser(share).default(0.95))
    .addOption(new Option('--confidence <p>', 'with which that is said').argParser(share).default(0.95))
    .option('--check <id>', 'only this check; may be repeated', collect)
    .option('--leave-out <unit>', 'a unit that does not belong, and you know why; may be repeated', collect)
    .option('--write', 'put the limits without a doubt into the guide, and leave every other character of it')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (guide, sources, options) =>
      setExit(await (await import('./limits.ts')).limits(guide, sources, options, context)),
    );

  limits
    .command('presses')
    .description('how many presses show what: success runs, and how often a sequential test accepts and rejects')
    .argument('[guide]', 'guide file: also what its press checks find')
    .addOption(new Option('--acceptable <p>', 'share of bad presses that is acceptable').argParser(share).default(0.01))
    .addOption(new Option('--rejectable <p>', 'share of bad presses to be rejected').argParser(share).default(0.1))
    .addOption(new Option('--alpha <p>', 'chance of rejecting an acceptable key').argParser(share).default(0.05))
    .addOption(new Option('--beta <p>', 'chance of accepting a key to be rejected').argParser(share).default(0.05))
    .addOption(new Option('--confidence <p>', 'of the success runs').argParser(share).default(0.95))
    .addOption(new Option('--cap <n>', 'presses after which the test ends undecided').argParser(count).default(200))
    .addOption(json())
    .addHelpText('after', '\nExample:\n  ohmwright limits presses examples/field-recorder.yaml --rejectable 5%\n')
    .action(async (guide, options) =>
      setExit(await (await import('./limits-presses.ts')).limitsPresses(guide, options, context)),
    );

  command('health', "chart a probe's proofs over time, and say when a drift began", 'health --jobs ohmwright-jobs')
    .argument('[jobs...]', 'job records (default: all of the jobs folder)')
    .option('--port <path>', 'only the probe on this port')
    .option('--probe <serial>', 'only the probe with this serial number')
    .addOption(
      new Option('--lambda <p>', 'weight of the newest proof in the average')
        .argParser(share)
        .default(usualHealth.lambda),
    )
    .addOption(
      new Option('--width <n>', 'limits, in standard deviations of the average')
        .argParser(positive)
        .default(usualHealth.width),
    )
    .addOption(
      new Option('--baseline <n>', 'proofs that show what is usual').argParser(count).default(usualHealth.baseline),
    )
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (jobs, options) => setExit(await (await import('./health.ts')).health(jobs, options, context)));
}

/** Reads a share: `0.95` or `95 %`. */
function share(value: string): number {
  const match = /^\s*(\d+(?:\.\d*)?|\.\d+)\s*(%?)\s*$/.exec(value);
  const number = match === null ? Number.NaN : Number(match[1]) / (match[2] === '%' ? 100 : 1);
  if (!(number > 0 && number < 1))
    throw new InvalidArgumentError('It takes a share between 0 and 1, such as 0.95 or 95%.');
  return number;
}

function count(value: string): number {
  const number = /^\d{1,5}$/.test(value) ? Number(value) : Number.NaN;
  if (!(number >= 1 && number <= 10_000)) throw new InvalidArgumentError('It takes a whole number from 1 to 10000.');
  return number;
}

function positive(value: string): number {
  const number = Number(value);
  if (!(number > 0 && number <= 100)) throw new InvalidArgumentError('It takes a number above 0, such as 3.');
  return number;
}

import { type Command, InvalidArgumentError, Option } from 'commander';

// Options that several commands share, each in one place, so that it reads the same everywhere.

export const json = () => new Option('--json', 'data as JSON on stdout');
export const force = () => new Option('--force', 'replace a file that is there already (never a job record)');
export const port = () =>
  new Option(
    '--port <path>',
    "serial port of the probe (default: the one that a probe is on); 'sim:' for the emulated one",
  );
export const jobsFolder = () =>
  new Option('--jobs <folder>', 'jobs folder (default ./ohmwright-jobs, or OHMWRIGHT_JOBS)');
export const order = () =>
  new Option('--order <name>', 'order of the checks: what tells most per minute, or as the guide has them')
    .choices(['information', 'guide'])
    .default('information');
export const repair = (unlessGiven: string) =>
  new Option(
    '--repair <who>',
    `what is done about a conclusion: 'ask' a person, the 'first' step of the plan, or 'none' (default: ${unlessGiven})`,
  ).choices(['ask', 'first', 'none']);
export const faults = () =>
  new Option('--fault <fault>', 'fault in the emulated device, as LINK=MODE; may be repeated').argParser(collect);

/** Options of a session at the bench. */
export function session(command: Command): Command {
  return simulated(command)
    .addOption(port())
    .addOption(json())
    .addOption(jobsFolder())
    .option('--bytes <file>', 'also keep the byte stream of the session in this file')
    .addOption(force())
    .option('--no-sign', "close the record without this bench's signature")
    .option('--accept-cautions <ids>', "cautions read and acknowledged beforehand: 'all', or ids with commas")
    .addOption(order())
    .addOption(repair('ask; on the emulated probe: none'));
}

/** Options that a new job is opened with. */
export function opening(command: Command): Command {
  return command
    .option('--record <file>', 'where the record goes, instead of a new file in the jobs folder')
    .option('--revision <name>', 'revision of the device')
    .option(
      '--override <why>',
      'go on although the guide does not hold for this revision; the reason stays in the record',
    )
    .option('--ticket <text>', 'ticket number')
    .option('--symptom <text>', 'what the customer reports')
    .option('--serial <text>', "the device's serial number")
    .option('--technician <text>', 'who is at the bench')
    .option('--customer <name>', 'whose device it is; kept apart in the record, so that it can be taken away again')
    .option('--contact <text>', 'how to reach the customer; kept apart likewise');
}

/** Options of what is shown on the live screen. */
export function onScreen(command: Command): Command {
  return command
    .option('--plain', 'lines in place of the screen: for a screen reader, a log, a dumb terminal')
    .option('--ascii', 'no characters beyond ASCII')
    .addOption(new Option('--background <kind>', 'background of the terminal').choices(['dark', 'light']))
    .option('--bell', "the terminal's bell with every outcome, beside the probe's tones")
    .option('--fast', "emulated probe and hands as fast as they go, instead of a person's pace");
}

/** Options of the emulated probe. */
export function simulated(command: Command): Command {
  return command
    .addOption(faults())
    .option('--seed <n>', 'seed of the emulated probe, device and hands', wholeNumber, 1)
    .option('--real-time', 'emulate at the pace of a clock instead of as fast as it goes');
}

export function collect(value: string, before: string[] | undefined): string[] {
  return [...(before ?? []), value];
}

export function wholeNumber(value: string): number {
  if (!/^\d+$/.test(value)) throw new InvalidArgumentError('It takes a whole number.');
  return Number(value);
}

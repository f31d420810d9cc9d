import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { isInterrupted, ReaderGone } from './context.ts';
import { errorText } from './error-text.ts';
import { exitCodesHelp, inconclusiveExit, interruptedExit, usageExit } from './exit-codes.ts';
import { addStatisticsCommands } from './statistics-commands.ts';
import { processTerminal, type Terminal } from './terminal.ts';

/** Runs one command line and returns its exit code; every error ends here as one sentence on stderr. */
export async function runCli(argv: string[], terminal: Terminal = processTerminal()): Promise<number> {
  const stop = new AbortController();
  const quiet = terminal.onInterrupt(() => stop.abort());
  terminal.onReaderGone(() => stop.abort(new ReaderGone('nobody reads the output any more')));
  let exitCode = 0;
  const program = buildProgram(terminal, stop.signal, (code) => {
    exitCode = code;
  });
  try {
    await program.parseAsync(argv, { from: 'user' });
    return isInterrupted(stop.signal) && exitCode === 0 ? interruptedExit : exitCode;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : usageExit;
    if (stop.signal.aborted && isAbort(error)) return isInterrupted(stop.signal) ? interruptedExit : inconclusiveExit;
    const { text, exitCode: code } = errorText(error);
    terminal.say(text);
    return code;
  } finally {
    quiet();
  }
}

function isAbort(error: unknown): boolean {
  return error instanceof Error && (error.name === 'AbortError' || ('code' in error && error.code === 'link.aborted'));
}

/** Returns the whole command tree; actions load their code when they run, so that `--help` starts fast. */
export function buildProgram(terminal: Terminal, signal: AbortSignal, setExit: (code: number) => void): Command {
  const program = new Command('ohmwright')
    .description(
      'Prove which replaceable unit of a battery-powered handheld device holds the fault, and keep the evidence.',
    )
    .version('0.1.0')
    .showHelpAfterError('Add --help for the options and an example.')
    .addHelpText('after', exitCodesHelp)
    .exitOverride()
    // so that a command below another has its own --json: what follows its name is meant for it
    .enablePositionalOptions()
    .configureOutput({ writeOut: (text) => terminal.out(text), writeErr: (text) => terminal.say(text) });
  const command = (name: string, about: string, example: string) =>
    program.command(name).description(about).addHelpText('after', `\nExample:\n  ohmwright ${example}\n`);
  const context = { terminal, signal };

  onScreen(simulated(command('demo', 'run the main job on the emulated probe and find a fault', 'demo --seed 7')))
    .addOption(json())
    .addOption(jobsFolder())
    .addOption(order())
    .addOption(repair('first'))
    .option('--healthy', 'a device without a fault')
    .action(async (options) => setExit(await (await import('./demo.ts')).demo(options, context)));

  command('probes', 'list ports and the probes on them, and what keeps one from being opened', 'probes --json')
    .addOption(json())
    .argument('[ports...]', 'ports to look at; all that the system lists if none is named')
    .action(async (ports, options) => setExit(await (await import('./probes.ts')).probes(ports, options, context)));

  onScreen(simulated(command('meter', 'show the reading at the tips', 'meter --port /dev/ttyUSB0 --export seen.csv')))
    .addOption(port())
    .addOption(json())
    .option('--guide <file>', 'the device at the tips of an emulated probe')
    .option('--between <pads>', 'with an emulated probe: the pads touched, as PAD,PAD')
    .addOption(new Option('--quantity <name>', 'what to read').choices(['resistance', 'voltage']).default('resistance'))
    .addOption(new Option('--level <name>', 'open-circuit level').choices(['normal', 'dry']).default('normal'))
    .option('--count <n>', 'stop after this many lines (about ten a second)', wholeNumber)
    .option('--budget', 'with each line what its uncertainty is made of (plain lines)')
    .option('--export <file>', 'also write every line to this file as CSV')
    .action(async (options) => setExit(await (await import('./meter.ts')).meter(options, context)));

  opening(
    onScreen(
      session(
        command(
          'start',
          'open a job by a guide and work it on the live screen (in a pipe: as lines)',
          'start examples/field-recorder.yaml --port /dev/ttyUSB0',
        ),
      ),
    ),
  )
    .argument('<guide>', 'guide file')
    .action(async (guide, options) => setExit(await (await import('./start.ts')).start(guide, options, context)));

  onScreen(session(command('resume', 'go on with a job where its record stands, on the live screen', 'resume JOB')))
    .argument('<job>', 'record file, or its name in the jobs folder')
    .action(async (job, options) => setExit(await (await import('./start.ts')).resume(job, options, context)));

  opening(
    session(
      command(
        'run',
        'run a job by a guide, or go on with one, told in plain lines',
        'run examples/field-recorder.yaml --revision A --ticket T1',
      ),
    ),
  )
    .argument('[guide]', 'guide file; not with --resume')
    .option('--resume <job>', 'go on with the job of this record file (or its name in the jobs folder)')
    .action(async (guide, options) => setExit(await (await import('./run.ts')).run(guide, options, context)));

  command(
    'jobs',
    'list the jobs of the jobs folder, all or those asked for',
    'jobs --outcome failed --since 2026-01-01',
  )
    .option('--device <text>', 'in maker, name, revision or serial number')
    .option('--ticket <text>', 'in the ticket number')
    .option('--unit <id>', 'a unit that was found at fault or changed')
    .addOption(
      new Option('--outcome <result>', 'what the job came to').choices([
        'passed',
        'repaired',
        'no-fault-found',
        'failed',
        'inconclusive',
        'abandoned',
        'open',
      ]),
    )
    .option('--open', 'only jobs that can be gone on with')
    .option('--since <day>', 'latest entry on this day or later (YYYY-MM-DD)')
    .option('--until <day>', 'latest entry on this day or earlier')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (options) => setExit(await (await import('./jobs.ts')).jobs(options, context)));

  command('show', 'show what stands in a job record', 'show ohmwright-jobs/NAME.owjob')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .addOption(json())
    .addOption(jobsFolder())
    .option('--budget', 'with each reading what its uncertainty is made of')
    .action(async (job, options) => setExit(await (await import('./show.ts')).show(job, options, context)));

  command('verify', 'check the chain of records and derive every outcome again from the raw codes', 'verify *.owjob')
    .argument('<files...>', 'record files')
    .option('--chain-only', 'only the hashes and their order, nothing of what the entries say')
    .option('--key <key>', 'public key of the bench that must have signed them: in base64, or a file with it')
    .addOption(json())
    .action(async (files, options) => setExit(await (await import('./verify.ts')).verify(files, options, context)));

  command('report', 'write a job as one page for customer, supplier and colleague', 'report JOB --out job.html')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .option('--out <file>', "where it goes (default: named after the job, here); '-' for stdout")
    .option('--csv', 'its readings as comma-separated values instead')
    .addOption(jobsFolder())
    .action(async (job, options) => setExit(await (await import('./report.ts')).report(job, options, context)));

  command('label', 'the label for the bag: a short text for a ticket printer, or a QR code', 'label JOB --width 32')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .addOption(new Option('--width <columns>', "the printer's columns").choices(['32', '48']).default('48'))
    .option('--svg <file>', 'write the QR code of job, result and digest as an SVG picture')
    .addOption(jobsFolder())
    .action(async (job, options) => setExit(await (await import('./export.ts')).label(job, options, context)));

  command('export', 'hand jobs over to other programs and people', 'export JOB --as archive --out job.zip')
    .argument('<jobs...>', 'record files, or their names in the jobs folder')
    .addOption(
      new Option(
        '--as <form>',
        'junit or tap for continuous integration, csv of all readings, one archive of record, guide and report, or the record itself',
      )
        .choices(['junit', 'tap', 'csv', 'archive', 'record'])
        .makeOptionMandatory(),
    )
    .option('--out <file>', 'where it goes (default: stdout)')
    .option('--without-customer', "leave the customer's name and contact out; the record verifies as before")
    .addOption(jobsFolder())
    .action(async (jobs, options) => setExit(await (await import('./export.ts')).exportJobs(jobs, options, context)));

  command('key', 'the public key that this bench signs its records with; made on first use', 'key')
    .option('--pem', 'as PEM, for other programs')
    .addOption(json())
    .action(async (options) => setExit(await (await import('./key.ts')).key(options, context)));

  command(
    'suspects',
    'say which fault is likeliest after readings taken by hand, and which check to do next',
    'suspects examples/field-recorder.yaml --reading spring-a=open --observed look-pads=yes',
  )
    .argument('<guide>', 'guide file')
    .option('--reading <value>', 'CHECK=VALUE, as spring-a=0.3ohm, spring-a=open, idle=1.8V; may be repeated', collect)
    .option('--observed <answer>', 'CHECK=yes|no|unsure, of a bridge also unproven; may be repeated', collect)
    .option('--skip <check>', 'a check that is not to be proposed; may be repeated', collect)
    .addOption(new Option('--power <state>', 'how the device stands now').choices(['on', 'off']))
    .option('--access <id>', "the state of disassembly that it is in now, or 'closed'")
    .addOption(json())
    .action(async (file, options) => setExit(await (await import('./suspects.ts')).suspects(file, options, context)));

  command(
    'priors',
    "count the faults that repaired jobs confirm, and propose a guide's weights from them",
    'priors ohmwright-jobs/*.owjob --guide my-device.yaml --write my-device-2.yaml',
  )
    .argument('<jobs...>', 'record files, or their names in the jobs folder')
    .requiredOption('--guide <file>', 'the guide whose weights are proposed')
    .option('--write <file>', 'after showing them, write the guide with these weights into this new file')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (jobs, options) => setExit(await (await import('./priors.ts')).priors(jobs, options, context)));

  const guide = command('guide', 'begin a device guide, check it, or predict what its checks read', 'guide check FILE');
  guide
    .command('check')
    .description('find errors in guide files, with line and column, and say what their checks are able to find')
    .argument('<files...>', 'guide files')
    .addOption(json())
    .addHelpText('after', '\nExample:\n  ohmwright guide check examples/field-recorder.yaml\n')
    .action(async (files, options) =>
      setExit(await (await import('./guide-check.ts')).guideCheck(files, options, context)),
    );
  guide
    .command('predict')
    .description('print what the circuit predicts for every check, or for the pairs asked')
    .argument('<file>', 'guide file')
    .addOption(faults())
    .addOption(new Option('--power <state>', 'device power for --between').choices(['on', 'off']).default('off'))
    .option('--between <pads>', 'a pair of pads, as PAD,PAD; may be repeated', collect)
    .option('--bridge <pads>', 'join this pair of pads, as PAD,PAD')
    .option('--pressed <key>', 'a key held down; may be repeated', collect)
    .addOption(json())
    .addHelpText(
      'after',
      '\nExample:\n  ohmwright guide predict examples/field-recorder.yaml --fault trace-a=open --between S1,J1\n',
    )
    .action(async (file, options) =>
      setExit(await (await import('./guide-predict.ts')).guidePredict(file, options, context)),
    );

  guide
    .command('new')
    .description('write a commented guide to begin from, which passes guide check')
    .argument('[file]', 'new file; without one, the guide is printed')
    .addHelpText('after', '\nExample:\n  ohmwright guide new my-device.yaml\n')
    .action(async (file) => setExit(await (await import('./guide-new.ts')).guideNew(file, context)));

  const calibrate = onScreen(
    command(
      'calibrate',
      'calibrate a probe against known resistors, hands-free, on the live screen (in a pipe: as lines)',
      'calibrate --port /dev/ttyUSB0 --set examples/bench-resistors.yaml --write-probe',
    ),
  )
    .addOption(port())
    .addOption(json())
    .option('--set <file>', 'file of the resistor set that is presented')
    .option(
      '--resistor <marking>',
      "a resistor by value and tolerance ('470 ohm 0.1 %'), letters or bands; may be repeated",
      collect,
    )
    .option('--valid-days <n>', 'days that the calibration holds', wholeNumber, 365)
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
    .option('--valid-days <n>', 'days that the calibration holds, for the block in --json', wholeNumber, 365)
    .addOption(json())
    .addHelpText(
      'after',
      '\nExample:\n  ohmwright calibrate fit examples/bench-points.csv --set examples/bench-resistors.yaml\n',
    )
    .action(async (points, options) =>
      setExit(await (await import('./calibrate-fit.ts')).calibrateFit(points, options, context)),
    );

  addStatisticsCommands({ command, context, setExit });

  simulated(
    command(
      'sim',
      'serve the emulated probe on a pseudo-terminal that any program can open',
      'sim --guide FILE --seed 3',
    ),
  )
    .requiredOption('--guide <file>', 'the device at its tips')
    .option('--hands <file>', 'script for the hands; without one, commands are read from stdin')
    .option('--link <path>', 'make this a symbolic link that leads to the pseudo-terminal, also after unplug and plug')
    .action(async (options) => setExit(await (await import('./sim.ts')).sim(options, context)));

  command(
    'replay',
    'decode a recorded byte stream again, with the same verdicts',
    'replay examples/field-recorder.owbytes',
  )
    .argument('<bytes>', 'byte log of a session, or a bare capture of what a probe sent')
    .option('--limits <text>', "judge every capture against these limits, such as 'max: 2 ohm'")
    .addOption(json())
    .action(async (file, options) => setExit(await (await import('./replay.ts')).replay(file, options, context)));

  return program;
}

const json = () => new Option('--json', 'data as JSON on stdout');
const port = () =>
  new Option(
    '--port <path>',
    "serial port of the probe (default: the one that a probe is on); 'sim:' for the emulated one",
  );
const jobsFolder = () => new Option('--jobs <folder>', 'jobs folder (default ./ohmwright-jobs, or OHMWRIGHT_JOBS)');
const order = () =>
  new Option('--order <name>', 'order of the checks: what tells most per minute, or as the guide has them')
    .choices(['information', 'guide'])
    .default('information');
const repair = (unlessGiven: string) =>
  new Option(
    '--repair <who>',
    `what is done about a conclusion: 'ask' a person, the 'first' step of the plan, or 'none' (default: ${unlessGiven})`,
  ).choices(['ask', 'first', 'none']);
const faults = () =>
  new Option('--fault <fault>', 'fault in the emulated device, as LINK=MODE; may be repeated').argParser(collect);

/** Options of a sitting at the bench. */
function session(command: Command): Command {
  return simulated(command)
    .addOption(port())
    .addOption(json())
    .addOption(jobsFolder())
    .option('--bytes <file>', 'also keep the byte stream of the session in this file')
    .option('--no-sign', "close the record without this bench's signature")
    .option('--accept-cautions <ids>', "cautions read and acknowledged beforehand: 'all', or ids with commas")
    .addOption(order())
    .addOption(repair('ask; on the emulated probe: none'));
}

/** Options that a new job is opened with. */
function opening(command: Command): Command {
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
function onScreen(command: Command): Command {
  return command
    .option('--plain', 'lines in place of the screen: for a screen reader, a log, a dumb terminal')
    .option('--ascii', 'no characters beyond ASCII')
    .addOption(new Option('--background <kind>', 'background of the terminal').choices(['dark', 'light']))
    .option('--bell', "the terminal's bell with every outcome, beside the probe's tones")
    .option('--fast', "emulated probe and hands as fast as they go, instead of a person's pace");
}

function simulated(command: Command): Command {
  return command
    .addOption(faults())
    .option('--seed <n>', 'seed of the emulated probe, device and hands', wholeNumber, 1)
    .option('--real-time', 'emulate at the pace of a clock instead of as fast as it goes');
}

function collect(value: string, before: string[] | undefined): string[] {
  return [...(before ?? []), value];
}

function wholeNumber(value: string): number {
  if (!/^\d+$/.test(value)) throw new InvalidArgumentError('It takes a whole number.');
  return Number(value);
}

function temperature(value: string): number {
  const celsius = Number(value);
  if (value.trim() === '' || !(celsius >= -40 && celsius <= 125)) {
    throw new InvalidArgumentError('It takes degrees Celsius from -40 to 125.');
  }
  return celsius;
}

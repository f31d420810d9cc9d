import { Command, CommanderError, Option } from 'commander';
import { errnoWords } from '../../errors/errno.ts';
import { processTerminal, type Terminal } from '../../faces/screen/terminal/terminal.ts';
import { addCalibrateCommands } from '../calibration/calibrate-commands.ts';
import { addGuideCommands } from '../guides/guide-commands.ts';
import { addRecordCommands } from '../records/record-commands.ts';
import { addStatisticsCommands } from '../statistics/statistics-commands.ts';
import { isInterrupted, OutputFailed, ReaderGone } from './context.ts';
import { errorText } from './error-text.ts';
import { exitCodes, exitCodesHelp, worstExit } from './exit-codes.ts';
import { type Printer, printerOn, printLines } from './printer.ts';
import {
  force,
  jobsFolder,
  json,
  onScreen,
  opening,
  order,
  port,
  repair,
  session,
  simulated,
  wholeNumber,
} from './program-options.ts';
import { toolVersion } from './tool-name.ts';

/** Runs one command line and returns its exit code; every error ends here as one sentence on stderr. */
export async function runCli(argv: string[], terminal: Terminal = processTerminal()): Promise<number> {
  const stop = new AbortController();
  const printer = printerOn(terminal);
  const quiet = terminal.onInterrupt(() => stop.abort());
  terminal.onReaderGone(() => stop.abort(new ReaderGone('nobody reads the output any more')));
  let unwritten: Error | null = null;
  terminal.onOutputFailed?.((error) => {
    unwritten ??= error;
    stop.abort(new OutputFailed('the output can not be written'));
  });
  const exitCode = await endOf(argv, printer, stop.signal);
  await terminal.flushed?.();
  quiet();
  if (unwritten === null) return exitCode;
  printer.say(
    `What was to be printed can't be written: ${errnoWords(unwritten)}. Make room, or print to another place.`,
  );
  return worstExit([exitCode, exitCodes.output]);
}

/** Runs one command line and returns how it ended, as far as the command itself knows. */
async function endOf(argv: string[], printer: Printer, signal: AbortSignal): Promise<number> {
  let exitCode: number = exitCodes.passed;
  const program = buildProgram(printer, signal, (code) => {
    exitCode = code;
  });
  try {
    await program.parseAsync(argv, { from: 'user' });
    return isInterrupted(signal) && exitCode === exitCodes.passed ? exitCodes.interrupted : exitCode;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.passed : exitCodes.usage;
    if (signal.aborted && isAbort(error)) {
      if (isInterrupted(signal)) return exitCodes.interrupted;
      return signal.reason instanceof OutputFailed ? exitCodes.output : exitCodes.inconclusive;
    }
    const { text, exitCode: code } = errorText(error);
    printLines(printer.say, text);
    return code;
  }
}

function isAbort(error: unknown): boolean {
  return error instanceof Error && error.name === 'AbortError';
}

/** Returns the whole command tree; actions load their code when they run, so that `--help` starts fast. */
export function buildProgram(terminal: Printer, signal: AbortSignal, setExit: (code: number) => void): Command {
  const program = new Command('ohmwright')
    .description(
      'Prove which replaceable unit of a battery-powered handheld device holds the fault, and keep the evidence.',
    )
    .version(toolVersion)
    .showHelpAfterError('Add --help for the options and an example.')
    .addHelpText('after', exitCodesHelp)
    .exitOverride()
    // so that a command below another has its own --json: what follows its name is meant for it
    .enablePositionalOptions()
    .configureOutput({
      writeOut: (text) => printLines(terminal.out, text),
      writeErr: (text) => printLines(terminal.say, text),
    });
  const command = (name: string, about: string, example: string) =>
    program.command(name).description(about).addHelpText('after', `\nExample:\n  ohmwright ${example}\n`);
  const context = { terminal, signal };

  onScreen(simulated(command('demo', 'run the main job on the emulated probe and find a fault', 'demo --seed 7')))
    .addOption(json())
    .addOption(jobsFolder())
    .addOption(order())
    .addOption(repair('first'))
    .option('--healthy', 'a device without a fault')
    .action(async (options) => setExit(await (await import('../job/demo.ts')).demo(options, context)));

  command('probes', 'list ports and the probes on them, and what keeps one from being opened', 'probes --json')
    .addOption(json())
    .argument('[ports...]', 'ports to look at; all that the system lists if none is named')
    .action(async (ports, options) =>
      setExit(await (await import('../tools/probes.ts')).probes(ports, options, context)),
    );

  onScreen(simulated(command('meter', 'show the reading at the tips', 'meter --port /dev/ttyUSB0 --export seen.csv')))
    .addOption(port())
    .addOption(json())
    .option('--guide <file>', 'the device at the tips of an emulated probe')
    .option('--between <pads>', 'with an emulated probe: the pads touched, as PAD,PAD')
    .addOption(new Option('--quantity <name>', 'what to read').choices(['resistance', 'voltage']).default('resistance'))
    .addOption(new Option('--level <name>', 'open-circuit level').choices(['normal', 'dry']).default('normal'))
    .option('--count <n>', 'stop after this many lines (about ten a second)', wholeNumber)
    .option('--budget', 'what the uncertainty is made of: with each line; on the screen in place of the trace (key u)')
    .option('--export <file>', 'also write every line to this file as CSV')
    .addOption(force())
    .action(async (options) => setExit(await (await import('../tools/meter.ts')).meter(options, context)));

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
    .action(async (guide, options) => setExit(await (await import('../job/start.ts')).start(guide, options, context)));

  onScreen(session(command('resume', 'go on with a job where its record stands, on the live screen', 'resume JOB')))
    .argument('<job>', 'record file, or its name in the jobs folder')
    .action(async (job, options) => setExit(await (await import('../job/start.ts')).resume(job, options, context)));

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
    .action(async (guide, options) => setExit(await (await import('../job/run.ts')).run(guide, options, context)));

  const maker = { command, context, setExit };
  addRecordCommands(maker);
  addGuideCommands(maker);
  addCalibrateCommands(maker);
  addStatisticsCommands(maker);

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
    .action(async (options) => setExit(await (await import('../tools/sim.ts')).sim(options, context)));

  command(
    'replay',
    'decode a recorded byte stream again, with the same verdicts',
    'replay examples/field-recorder.owbytes',
  )
    .argument('<bytes>', 'byte log of a session, or a bare capture of what a probe sent')
    .option('--limits <text>', "judge every capture against these limits, such as 'max: 2 ohm'")
    .addOption(json())
    .action(async (file, options) =>
      setExit(await (await import('../tools/replay.ts')).replay(file, options, context)),
    );

  return program;
}

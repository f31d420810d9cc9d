import { Command, CommanderError, Option } from 'commander';
import { isInterrupted, ReaderGone } from './context.ts';
import { errorText } from './error-text.ts';
import { exitCodesHelp, inconclusiveExit, interruptedExit, usageExit } from './exit-codes.ts';
import {
  collect,
  faults,
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

  command('jobs', 'list the jobs of the jobs folder', 'jobs --json')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (options) => setExit(await (await import('./jobs.ts')).jobs(options, context)));

  command('show', 'show what stands in a job record', 'show ohmwright-jobs/NAME.owjob')
    .argument('<job>', 'record file, or its name in the jobs folder')
    .addOption(json())
    .addOption(jobsFolder())
    .action(async (job, options) => setExit(await (await import('./show.ts')).show(job, options, context)));

  command('verify', 'check the chain of records and derive every outcome again from the raw codes', 'verify *.owjob')
    .argument('<files...>', 'record files')
    .addOption(json())
    .action(async (files, options) => setExit(await (await import('./verify.ts')).verify(files, options, context)));

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

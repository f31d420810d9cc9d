import { Command, CommanderError } from 'commander';
import { errnoWords } from '../../errors/errno.ts';
import { processTerminal, type Terminal } from '../../faces/screen/terminal/terminal.ts';
import { commandList, groupOf } from './command-list.ts';
import {
  type Context,
  exitUnlessInterrupted,
  Interrupted,
  OutputFailed,
  type PrintedForm,
  ReaderGone,
} from './context.ts';
import { withExample } from './define-command.ts';
import { errorText } from './error-text.ts';
import { exitCodes, exitCodesHelp, worstExit } from './exit-codes.ts';
import { type Printer, printerOn, printLines } from './printer.ts';
import { toolVersion } from './tool-name.ts';

/**
 * Runs one command line and returns its exit code; every error ends here as one sentence on stderr.
 */
export async function runCli(argv: string[], terminal: Terminal = processTerminal()): Promise<number> {
  const stop = new AbortController();
  const printer = printerOn(terminal);
  const quiet = terminal.onInterrupt((signal) => stop.abort(new Interrupted(signal)));
  terminal.onReaderGone(() => stop.abort(new ReaderGone('nobody reads the output any more')));
  let unwritten: Error | null = null;
  terminal.onOutputFailed?.((error) => {
    unwritten ??= error;
    stop.abort(new OutputFailed('the output can not be written'));
  });
  const exitCode = await endOf(argv, printer, stop.signal, { onError: (error) => terminal.onError?.(error) });
  await terminal.flushed?.();
  quiet();
  if (unwritten === null) return exitCode;
  printer.say(
    `What was to be printed can't be written: ${errnoWords(unwritten)}. Make room, or print to another place.`,
  );
  return worstExit([exitCode, exitCodes.output]);
}

/** Runs one command line and returns how it ended, as far as the command itself knows. */
async function endOf(
  argv: string[],
  printer: Printer,
  signal: AbortSignal,
  { onError }: Pick<Terminal, 'onError'>,
): Promise<number> {
  let exitCode: number = exitCodes.passed;
  const setExit = (code: number): void => {
    exitCode = code;
  };
  try {
    const program = await programFor(argv, { terminal: printer, signal, forms }, setExit);
    await program.parseAsync(argv, { from: 'user' });
    return exitUnlessInterrupted(exitCode, signal);
  } catch (error) {
    if (error instanceof CommanderError) {
      if (error.exitCode === 0) return exitCodes.passed;
      onError?.(error);
      return exitCodes.usage;
    }
    if (signal.aborted && isAbort(error)) {
      const stopped = signal.reason instanceof OutputFailed ? exitCodes.output : exitCodes.inconclusive;
      return exitUnlessInterrupted(stopped, signal);
    }
    const { text, exitCode: code } = errorText(error);
    onError?.(error);
    printLines(printer.say, text);
    return code;
  }
}

/** Loads every declaration: only `schema` asks for that. */
async function forms(): Promise<PrintedForm[]> {
  const found: PrintedForm[] = [];
  for (const { name, load } of commandList) {
    const prints = (await load?.())?.default.prints;
    if (prints !== undefined) found.push({ command: name, form: await prints() });
  }
  return found;
}

function isAbort(error: unknown): boolean {
  return error instanceof Error && error.name === 'AbortError';
}

/** The command by which a shell asks what may follow, and which prints what makes it ask. */
const completing = 'complete';

/**
 * Returns the command tree. Only the commands that the words may call are declared; of the others
 * it knows name and purpose.
 */
async function programFor(argv: string[], context: Context, setExit: (code: number) => void): Promise<Command> {
  const { terminal } = context;
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
    .configureHelp({ subcommandTerm: (command) => command.name() })
    .configureOutput({
      writeOut: (text) => printLines(terminal.out, text),
      writeErr: (text) => printLines(terminal.say, text),
    });
  const called = argv.find((word) => word !== 'help' && !word.startsWith('-'));
  for (const { name, about, load, example } of commandList) {
    // the library that completes words declares its own command
    if (name === called && called === completing) continue;
    const [first, second] = name.split(' ') as [string, string?];
    const parent = second === undefined ? program : program.commands.find((one) => one.name() === first)!;
    const command = parent.command(second ?? first).description(about);
    const group = groupOf(name);
    if (group !== null) command.helpGroup(`${group}:`);
    if (example !== undefined) withExample(command, example);
    if ((first === called || called === completing) && load !== undefined)
      (await load()).default.fill(command, context, setExit);
  }
  if (called === completing) {
    const [{ default: complete }, { offeredWords, offerWords }] = await Promise.all([
      import('@bomb.sh/tab/commander'),
      import('../first-use/completion.ts'),
    ]);
    offerWords(complete(program), await offeredWords(argv, terminal));
    const made = program.commands.find((command) => command.name() === completing);
    const example = commandList.find(({ name }) => name === completing)?.example;
    if (made !== undefined && example !== undefined) withExample(made, example);
  }
  return program;
}

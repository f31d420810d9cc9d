import { errnoWords } from '../../errors/errno.ts';
import { processTerminal, type Terminal } from '../../faces/screen/terminal/terminal.ts';
import { exitUnlessInterrupted, Interrupted, OutputFailed, ReaderGone } from './context.ts';
import { errorText } from './error-text.ts';
import { exitCodes, worstExit } from './exit-codes.ts';
import { type Printer, printerOn, printLines } from './printer.ts';

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
    const { programFor } = await import('./command-tree.ts');
    const program = await programFor(argv, { terminal: printer, signal }, setExit);
    await program.parseAsync(argv, { from: 'user' });
    return exitUnlessInterrupted(exitCode, signal);
  } catch (error) {
    if (isOfCommander(error)) {
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

/** What that library throws when it has said what there is to say. It is not loaded to ask. */
function isOfCommander(error: unknown): error is Error & { exitCode: number } {
  return error instanceof Error && error.name === 'CommanderError' && 'exitCode' in error;
}

function isAbort(error: unknown): boolean {
  return error instanceof Error && error.name === 'AbortError';
}

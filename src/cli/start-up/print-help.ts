import { exitCodes } from '../program/exit-codes.ts';
import { programHelp } from './program-help.ts';

/** Of a page that goes into a pipe or a file. */
const usualColumns = 80;

/**
 * Prints the help of the program, and loads nothing else for it. A reader that went away is no
 * failure; what can't be written is one.
 */
export function printHelp({ stdout, stderr }: Pick<NodeJS.Process, 'stdout' | 'stderr'>): void {
  stdout.on('error', ({ code, message }: NodeJS.ErrnoException) => {
    if (code === 'EPIPE' || (code === 'EIO' && stdout.isTTY)) return;
    process.exitCode = exitCodes.output;
    stderr.write(`What was to be printed can't be written: ${message}. Make room, or print to another place.\n`);
  });
  stdout.write(programHelp(stdout.columns ?? usualColumns));
}

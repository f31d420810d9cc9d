import { writeSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { ReadStream } from 'node:tty';
import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';

/** The part of the pty package used here: its types leave `open` out. */
interface OpenedTerminal {
  readonly fd: number;
  readonly ptsName: string;
  readonly master: ReadStream;
  readonly slave: ReadStream;
}
interface PtyPackage {
  open(options: { encoding: null; cols: number; rows: number }): OpenedTerminal;
}

/** The near end of a pseudo-terminal whose far end any program opens as a serial port. */
export interface Pty {
  /** Device path of the far end. */
  readonly path: string;
  /**
   * Writes without waiting and returns how many bytes the full terminal did not take: they are
   * lost, as on a wire that nobody listens to.
   */
  write(bytes: Uint8Array): number;
  /** Takes the terminal away: the far end sees a hang-up. */
  close(): void;
}

/**
 * Returns a new pseudo-terminal in raw mode (no echo, nothing translated), also before anyone opens
 * its far end.
 *
 * It stays usable when the far end is closed and opened again. @throws OhmwrightError `sim.pty`
 * where there are no pseudo-terminals
 */
export function openPty(onData: (bytes: Uint8Array) => void): Pty {
  let terminal: OpenedTerminal;
  try {
    // required here and not at the top: it is a native addon, and most of the simulator does
    // without
    const pty = createRequire(import.meta.url)('@lydell/node-pty') as PtyPackage;
    terminal = pty.open({ encoding: null, cols: 80, rows: 24 });
  } catch (cause) {
    throw new OhmwrightError(
      'sim.pty',
      `can't make a pseudo-terminal: ${cause instanceof Error ? cause.message : String(cause)}`,
      { help: 'Use the simulator inside the program (port sim:), or a system with pseudo-terminals (Linux, macOS).' },
    );
  }
  const { master, slave, fd } = terminal;
  slave.pause();
  slave.setRawMode(true);
  slave.destroy();
  let isOpen = true;
  // EIO: the far end was closed; it may come again
  master.on('error', () => undefined);
  master.on('data', (bytes: Uint8Array) => onData(bytes));
  return {
    path: terminal.ptsName,
    write: (bytes) => {
      if (!isOpen) return bytes.length;
      try {
        // not master.write(): that blocks the whole process once nobody reads the far end
        return bytes.length - writeSync(fd, bytes);
      } catch {
        return bytes.length;
      }
    },
    close: () => {
      if (!isOpen) return;
      isOpen = false;
      // not the package's own destroy(): without a child process it would signal every process
      // there is
      master.destroy();
    },
  };
}

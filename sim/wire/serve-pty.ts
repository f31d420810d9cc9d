import { lstatSync, rmSync, symlinkSync } from 'node:fs';
import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';
import type { EmulatedProbe } from '../probe/emulated-probe.ts';
import { Pacer } from '../probe/pacer.ts';
import { openPty, type Pty } from './pty.ts';

/** Probe time moves in turns of about this length. */
const turnMs = 1;
/**
 * Emulated before the clock starts, so that the first paced second isn't the one in which
 * everything gets compiled.
 */
const warmUpUs = 200_000;

/** Options of {@link servePty}. */
export interface ServePtyOptions {
  readonly probe: EmulatedProbe;
  /**
   * A path that always leads to the present terminal, also after unplugging and plugging in again;
   * made as a symbolic link.
   */
  readonly stablePath?: string;
}

/** A probe in real time behind a pseudo-terminal. */
export interface ServedPty {
  /** What to open as a serial port: the stable path if there is one, else the terminal's own. */
  readonly path: string;
  /** Bytes that nobody took in time, and times that the probe slipped behind the wall clock. */
  counters(): { readonly droppedBytes: number; readonly timeSlips: number };
  /** Takes terminal and supply away. */
  unplug(): void;
  /** Makes a new terminal (its own path differs) and switches the probe on. */
  plugIn(): void;
  close(): Promise<void>;
}

/**
 * Serves a probe in real time on a pseudo-terminal until closed.
 *
 * The emulator runs in this thread, in short turns: it needs a tenth of one core, and the delay
 * that turns add is below the time of one batch of readings.
 */
export async function servePty(options: ServePtyOptions): Promise<ServedPty> {
  const { probe, stablePath } = options;
  const pacer = new Pacer();
  let outgoing: number[] = [];
  let droppedBytes = 0;
  let pty: Pty | null = null;
  let timer: ReturnType<typeof setTimeout> | null = null;

  const catchUp = (): void => {
    probe.runUntilUs(pacer.targetUs(probe.nowUs));
    if (outgoing.length === 0) return;
    const bytes = Uint8Array.from(outgoing);
    outgoing = [];
    droppedBytes += pty?.write(bytes) ?? 0;
  };
  const turn = (): void => {
    catchUp();
    timer = setTimeout(turn, turnMs);
  };
  const plugIn = (): void => {
    if (pty !== null) return;
    pty = openPty((bytes) => {
      // at the probe time that is now, and answered without waiting for the next turn
      catchUp();
      probe.write(bytes);
    });
    if (stablePath !== undefined) link(pty.path, stablePath);
    pacer.begin(probe.nowUs);
    timer = setTimeout(turn, turnMs);
  };
  const unplug = (): void => {
    if (timer !== null) clearTimeout(timer);
    timer = null;
    pty?.close();
    pty = null;
    outgoing = [];
    if (stablePath !== undefined) rmSync(stablePath, { force: true });
  };

  probe.onByte = (byte) => {
    outgoing.push(byte);
  };
  probe.runUntilUs(probe.nowUs + warmUpUs);
  outgoing = [];
  plugIn();
  const firstPath = pty!.path;
  return {
    get path(): string {
      return stablePath ?? pty?.path ?? firstPath;
    },
    counters: () => ({ droppedBytes, timeSlips: pacer.slips }),
    unplug: () => {
      unplug();
      probe.switchOff();
    },
    plugIn: () => {
      if (pty !== null) return;
      probe.reset('powerOn');
      plugIn();
    },
    close: async () => unplug(),
  };
}

function link(target: string, path: string): void {
  try {
    // a file that someone keeps there is not ours to replace
    if (lstatSync(path, { throwIfNoEntry: false })?.isSymbolicLink() === false) throw new Error('it exists already');
    rmSync(path, { force: true });
    symlinkSync(target, path);
  } catch (cause) {
    throw new OhmwrightError(
      'sim.link',
      `can't make the link ${path}: ${cause instanceof Error ? cause.message : String(cause)}`,
      { help: 'Give a path in a folder that you may write to, where nothing but such a link stands.' },
    );
  }
}

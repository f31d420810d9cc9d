import { onlyProbe, serialSource } from '../../link/probe/find-probes.ts';
import { ProbeLink } from '../../link/probe/probe-link.ts';
import { ByteLog } from '../../link/recording/byte-log.ts';
import type { Transport } from '../../ports/transport.ts';
import { readCalibrationFile } from '../../record/store/calibration-file.ts';
import { calibrationOf } from '../../session/engine/calibration-in-force.ts';
import type { SessionProbe } from '../../session/engine/session-parts.ts';
import { calibrationsFolderOf } from '../places/locations.ts';
import type { Context } from './context.ts';
import type { HeldProbe } from './held-probe.ts';

export interface ProbeOptions {
  /** Default: the port that the only probe is on. */
  port?: string;
  /** File that keeps the byte stream of the session. */
  bytes?: string;
  /** That file may take the place of one that is there. */
  force?: boolean;
  /** Folder of this host's calibrations. */
  calibrations?: string;
}

/** How a command uses the probe, beside its options. */
export interface ProbeUse {
  /** In place of a serial port: the emulated probe, a recording. */
  transport?: Transport;
  /** A probe that is open already, for the session to take over. */
  held?: HeldProbe | null;
  /** Goes on looking for the probe after the link broke; default true. */
  reconnect?: boolean;
}

/** A probe that a session can be opened with. */
export interface OpenedProbe extends SessionProbe {
  /** Name of the port. */
  path: string;
  /** Ends the byte log. Returns what went wrong with it, or null. */
  endLog(): string | null;
}

/**
 * Returns the probe that the options name, with the calibration in force for it: the later one of
 * the probe's own and this host's file.
 *
 * @throws OhmwrightError `port.none` when no port is named and there is not exactly one probe
 */
export async function openProbe(
  { port, bytes, calibrations, force = false }: ProbeOptions,
  { signal, terminal }: Context,
  { transport, held = null, reconnect = true }: ProbeUse = {},
): Promise<OpenedProbe> {
  const path = transport?.path ?? held?.port ?? port ?? (await onlyProbe({ signal }));
  const source = transport === undefined ? serialSource(path) : () => transport;
  const own = held === null && bytes !== undefined ? new ByteLog(bytes, undefined, { force }) : undefined;
  const byteLog = held?.byteLog ?? own;
  const folder = calibrationsFolderOf(calibrations, terminal);
  return {
    path,
    connect: (onItem, stop) =>
      held?.take(onItem, stop) ?? ProbeLink.connect(source, { onItem, signal: stop, reconnect, byteLog }),
    async inForce(stored, serial) {
      const file = await readCalibrationFile(folder, serial);
      return calibrationOf(stored, serial, terminal.now().getTime(), file);
    },
    hold: transport?.hold === undefined ? undefined : () => transport.hold!(),
    endLog() {
      byteLog?.close();
      return byteLog?.problem ?? null;
    },
  };
}

import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Timers } from '../../ports/timers.ts';
import type { Transport, TransportSource } from '../../ports/transport.ts';
import type { ProbeIdentity } from '../../protocol/messages.ts';
import { noPortError } from '../serial/port-errors.ts';
import { isSameDevice, listPorts, type PortInfo } from '../serial/ports.ts';
import { SerialTransport } from '../serial/serial-port.ts';
import { ProbeLink } from './probe-link.ts';

/** What is on a port: a probe, or why none was found there. */
export type PortFinding =
  | { port: PortInfo; state: 'probe'; identity: ProbeIdentity }
  | { port: PortInfo; state: 'no-probe' | 'closed-to-us'; code: string; why: string; help: string };

/** Options of {@link findProbes}. */
export interface FindOptions {
  /** Default: all that the system lists. */
  ports?: readonly PortInfo[];
  signal?: AbortSignal;
  /** Default: serial ports. */
  open?: (path: string) => Transport;
  timers?: Timers;
}

/**
 * Says hello on every port and returns what answered, in the order of the ports. Opening a port
 * resets many boards, so whatever else hangs on one is disturbed as by any program that opens it.
 */
export async function findProbes(options: FindOptions = {}): Promise<PortFinding[]> {
  const { signal } = options;
  const ports = options.ports ?? (await listPorts());
  const findings = await Promise.all(ports.map((port) => look(port, options)));
  signal?.throwIfAborted();
  return findings;
}

async function look(port: PortInfo, { open = serial, signal, timers }: FindOptions): Promise<PortFinding> {
  const options = { onItem: () => undefined, ...(signal && { signal }), ...(timers && { timers }) };
  try {
    const link = await ProbeLink.connect(() => open(port.path), options);
    const { identity } = link;
    await link.close();
    return { port, state: 'probe', identity };
  } catch (error) {
    if (!(error instanceof OhmwrightError)) throw error;
    const { code, message, help } = error;
    return { port, state: code.startsWith('port.') ? 'closed-to-us' : 'no-probe', code, why: message, help };
  }
}

const serial = (path: string): Transport => new SerialTransport(path);

/**
 * Returns the port of the only probe. @throws OhmwrightError `port.none` when there is none, or
 * more than one
 */
export async function onlyProbe(options: FindOptions = {}): Promise<string> {
  const findings = await findProbes(options);
  const probes = findings.filter((finding) => finding.state === 'probe');
  if (probes.length === 1) return probes[0]!.port.path;
  if (probes.length > 1) {
    const paths = probes.map((probe) => probe.port.path).join(', ');
    throw noPortError(`There are ${probes.length} probes: ${paths}.`, 'Say which with --port PATH.');
  }
  const hindered = findings.flatMap((finding) => (finding.state === 'closed-to-us' ? [finding.why] : []));
  throw noPortError(
    ['There is no probe on any port.', ...hindered].join(' '),
    'Plug it in; "ohmwright probes" says what is on each port. Without one, --port sim: is an emulated probe.',
  );
}

/**
 * Returns a source of transports for a port that may come back under another name: each call opens
 * the device that was on `path` at first, found again by vendor, product and serial number.
 */
export function serialSource(path: string, list: () => Promise<PortInfo[]> = listPorts): TransportSource {
  let device: PortInfo | null = null;
  let isFirst = true;
  return async () => {
    const ports = await list();
    if (isFirst) device = ports.find((port) => port.path === path || port.twin === path) ?? null;
    isFirst = false;
    const known = device;
    if (known === null) return new SerialTransport(path); // a pseudo-terminal, or a port that the system does not list
    const now =
      ports.find((port) => port.path === path && isSameDevice(port, known)) ??
      ports.find((port) => isSameDevice(port, known));
    return new SerialTransport(now?.path ?? path);
  };
}

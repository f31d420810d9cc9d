import { readdir, realpath } from 'node:fs/promises';
import { type ListedPort, listSystemPorts } from './serial-port.ts';

/** A serial port of this computer. What the system does not say is null. */
export interface PortInfo {
  /** What to open. */
  path: string;
  vendorId: string | null;
  productId: string | null;
  serialNumber: string | null;
  manufacturer: string | null;
  /** The same port's other name on macOS. */
  twin: string | null;
}

/** What the listing stands on; tests bring their own. */
export interface PortSources {
  list(): Promise<ListedPort[]>;
  /** Names in a folder; empty without one. */
  names(dir: string): Promise<string[]>;
  /** The file that a link leads to. */
  target(link: string): Promise<string>;
}

const byIdDir = '/dev/serial/by-id';

const systemSources: PortSources = {
  list: listSystemPorts,
  names: (dir) => readdir(dir).catch(() => []),
  target: (link) => realpath(link),
};

/**
 * Returns the serial ports of this computer, sorted by path. Built-in ports of which the system
 * knows no device (Linux lists dozens that do not exist) are left out. Pseudo-terminals are never
 * listed.
 */
export async function listPorts(sources: PortSources = systemSources): Promise<PortInfo[]> {
  const listed = await sources.list().catch(() => listById(sources)); // the tool that the listing runs is missing
  return joinTwins(listed.filter((port) => !isPlaceholder(port)).map(portInfo)).sort((a, b) =>
    a.path < b.path ? -1 : 1,
  );
}

/** Returns the ports that the by-id links name: `usb-MAKER_PRODUCT_SERIAL-if00-port0`. */
async function listById({ names, target }: PortSources): Promise<ListedPort[]> {
  const ports: ListedPort[] = [];
  for (const name of await names(byIdDir)) {
    const path = await target(`${byIdDir}/${name}`).catch(() => null); // a link to a port that has just gone
    const parts = name
      .replace(/^[^-]*-/, '')
      .replace(/(-if\d+)?(-port\d+)?$/, '')
      .split('_');
    if (path !== null)
      ports.push({ path, manufacturer: parts[0], serialNumber: parts.length > 1 ? parts.at(-1) : undefined });
  }
  return ports;
}

function isPlaceholder({ path, vendorId, manufacturer, serialNumber }: ListedPort): boolean {
  return /^\/dev\/ttyS\d+$/.test(path) && !vendorId && !manufacturer && !serialNumber;
}

function portInfo({ path, vendorId, productId, serialNumber, manufacturer }: ListedPort): PortInfo {
  return {
    path,
    vendorId: vendorId ?? null,
    productId: productId ?? null,
    serialNumber: serialNumber ?? null,
    manufacturer: manufacturer ?? null,
    twin: null,
  };
}

/** macOS has each port twice: `tty.` waits for a carrier at opening, `cu.` does not. */
function joinTwins(ports: PortInfo[]): PortInfo[] {
  const paths = new Set(ports.map((port) => port.path));
  const callOut = (path: string) => path.replace(/^\/dev\/tty\./, '/dev/cu.');
  const joined = new Map<string, PortInfo>();
  for (const port of ports) {
    const path = callOut(port.path);
    const isMac = /^\/dev\/(tty|cu)\./.test(port.path);
    const dialIn = path.replace(/^\/dev\/cu\./, '/dev/tty.');
    if (!isMac) joined.set(port.path, port);
    else joined.set(path, { ...port, path, twin: paths.has(dialIn) ? dialIn : null });
  }
  return [...joined.values()];
}

/** Returns whether two descriptions are of the same device, whatever the port's name is by now. */
export function isSameDevice(a: PortInfo, b: PortInfo): boolean {
  if (a.serialNumber === null && a.vendorId === null) return a.path === b.path;
  return a.vendorId === b.vendorId && a.productId === b.productId && a.serialNumber === b.serialNumber;
}

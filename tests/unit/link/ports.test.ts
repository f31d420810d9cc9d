import { describe, expect, test } from 'vitest';
import { isSameDevice, listPorts, type PortInfo, type PortSources } from '../../../src/link/serial/ports.ts';
import type { ListedPort } from '../../../src/link/serial/serial-port.ts';

const sources = (listed: ListedPort[] | Error, links: Record<string, string> = {}): PortSources => ({
  list: async () => {
    if (listed instanceof Error) throw listed;
    return listed;
  },
  names: async () => Object.keys(links),
  target: async (link) => {
    const found = links[link.split('/').at(-1)!];
    if (found === undefined || found === '') throw new Error('dangling');
    return found;
  },
});
const port = (path: string, more: Partial<PortInfo> = {}): PortInfo => ({
  path,
  vendorId: null,
  productId: null,
  serialNumber: null,
  manufacturer: null,
  twin: null,
  ...more,
});

describe('the list of ports', () => {
  test('holds what the system says, sorted, without built-in ports that no device stands behind', async () => {
    const listed = [
      { path: '/dev/ttyUSB1', vendorId: '1a2b', productId: '3c4d', serialNumber: 'S1', manufacturer: 'Orrelby Works' },
      { path: '/dev/ttyS0' },
      { path: '/dev/ttyACM0', serialNumber: 'S2' },
      { path: '/dev/ttyS4', manufacturer: 'Orrelby Works' },
    ];
    expect((await listPorts(sources(listed))).map((p) => p.path)).toEqual([
      '/dev/ttyACM0',
      '/dev/ttyS4',
      '/dev/ttyUSB1',
    ]);
    expect((await listPorts(sources(listed)))[2]).toEqual(
      port('/dev/ttyUSB1', { vendorId: '1a2b', productId: '3c4d', serialNumber: 'S1', manufacturer: 'Orrelby Works' }),
    );
  });

  test("comes from the by-id links where the system's tool is missing", async () => {
    const links = {
      'usb-Orrelby_Works_Serial_Bridge_00A1-if00-port0': '/dev/ttyUSB0',
      'usb-Orrelby_Probe_77-if01': '/dev/ttyACM0',
      'usb-Orrelby_gone_1-if00': '',
    };
    const ports = await listPorts(sources(new Error('spawn udevadm ENOENT'), links));
    expect(ports.map(({ path, serialNumber }) => [path, serialNumber])).toEqual([
      ['/dev/ttyACM0', '77'],
      ['/dev/ttyUSB0', '00A1'],
    ]);
  });

  test('is empty where there is neither', async () => {
    expect(await listPorts(sources(new Error('spawn udevadm ENOENT')))).toEqual([]);
  });

  test('has the two names of a macOS port once, under the one that does not wait for a carrier', async () => {
    const listed = [
      { path: '/dev/tty.usbserial-10', serialNumber: 'S1' },
      { path: '/dev/cu.usbserial-10', serialNumber: 'S1' },
      { path: '/dev/tty.usbserial-20', serialNumber: 'S2' },
    ];
    expect(await listPorts(sources(listed))).toEqual([
      port('/dev/cu.usbserial-10', { serialNumber: 'S1', twin: '/dev/tty.usbserial-10' }),
      port('/dev/cu.usbserial-20', { serialNumber: 'S2', twin: '/dev/tty.usbserial-20' }),
    ]);
  });
});

describe('the same device', () => {
  test('goes by its numbers, whatever its name is by now', () => {
    const before = port('/dev/ttyUSB0', { vendorId: '1a2b', productId: '3c4d', serialNumber: 'S1' });
    expect(isSameDevice(before, { ...before, path: '/dev/ttyUSB7' })).toBe(true);
    expect(isSameDevice(before, { ...before, serialNumber: 'S2' })).toBe(false);
    expect(isSameDevice(before, { ...before, productId: '0000' })).toBe(false);
  });

  test('goes by its name where it has no numbers', () => {
    expect(isSameDevice(port('/dev/ttyAMA0'), port('/dev/ttyAMA0'))).toBe(true);
    expect(isSameDevice(port('/dev/ttyAMA0'), port('/dev/ttyAMA1'))).toBe(false);
  });
});

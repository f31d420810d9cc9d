import { describe, expect, test } from 'vitest';
import { findProbes, onlyProbe, serialSource } from '../../../src/link/probe/find-probes.ts';
import { portError } from '../../../src/link/serial/port-errors.ts';
import type { PortInfo } from '../../../src/link/serial/ports.ts';
import { ManualTimers, settle } from './manual-timers.ts';
import { ScriptedProbe } from './scripted-probe.ts';

const none = { vendorId: null, productId: null, serialNumber: null, manufacturer: null, twin: null };
const port = (path: string, more: Partial<PortInfo> = {}): PortInfo => ({ path, ...none, ...more });

/** Looks on ports behind which the given probes are. */
async function find<T>(ends: Record<string, ScriptedProbe>, look: (options: object) => Promise<T>): Promise<T> {
  const timers = new ManualTimers();
  const ports = Object.keys(ends).map((path) => port(path));
  const result = look({ ports, open: (path: string) => ends[path]!.source(), timers });
  result.catch(() => undefined);
  await settle();
  await settle();
  await timers.pass(10_000);
  return await result;
}

function silent(): ScriptedProbe {
  const end = new ScriptedProbe();
  end.onRequest = () => null;
  return end;
}
function forbidden(): ScriptedProbe {
  const end = new ScriptedProbe();
  end.openError = portError('B', new Error('Permission denied'), { platform: 'linux', group: 'dialout' });
  return end;
}

describe('finding probes', () => {
  test('says for each port what is on it, or why it could not be opened', async () => {
    const probe = new ScriptedProbe();
    const findings = await find({ A: silent(), B: forbidden(), C: probe }, (options) => findProbes(options));
    expect(findings.map(({ port: { path }, state }) => [path, state])).toEqual([
      ['A', 'no-probe'],
      ['B', 'closed-to-us'],
      ['C', 'probe'],
    ]);
    expect(findings[0]).toMatchObject({ code: 'link.not-a-probe', why: expect.stringContaining('nothing came back') });
    expect(findings[1]).toMatchObject({ code: 'port.forbidden', help: expect.stringContaining('dialout') });
    expect(findings[2]).toMatchObject({ identity: { probeSerial: 1001 } });
    expect(probe.transport.isOpen).toBe(false);
  });

  test('the only probe is taken without asking', async () => {
    expect(await find({ A: silent(), C: new ScriptedProbe() }, (options) => onlyProbe(options))).toBe('C');
  });

  test('of two, one must be named', async () => {
    const two = find({ A: new ScriptedProbe(), C: new ScriptedProbe() }, (options) => onlyProbe(options));
    await expect(two).rejects.toMatchObject({
      code: 'port.none',
      message: expect.stringContaining('A, C'),
    });
  });

  test('of none, what hindered is said', async () => {
    const noProbe = find({ A: silent(), B: forbidden() }, (options) => onlyProbe(options));
    await expect(noProbe).rejects.toMatchObject({
      code: 'port.none',
      message: expect.stringContaining('may not open B'),
    });
  });
});

describe('a port that comes back', () => {
  const device = { vendorId: '1a2b', productId: '3c4d', serialNumber: 'S1' };

  test('under another name is found by its numbers', async () => {
    let now = [port('/dev/ttyUSB0', device), port('/dev/ttyUSB1')];
    const source = serialSource('/dev/ttyUSB0', async () => now);
    expect((await source()).path).toBe('/dev/ttyUSB0');
    now = [port('/dev/ttyUSB0', { ...device, serialNumber: 'other' }), port('/dev/ttyUSB2', device)];
    expect((await source()).path).toBe('/dev/ttyUSB2');
  });

  test('that is not there yet is asked for by its old name', async () => {
    let now = [port('/dev/ttyUSB0', device)];
    const source = serialSource('/dev/ttyUSB0', async () => now);
    await source();
    now = [];
    expect((await source()).path).toBe('/dev/ttyUSB0');
  });

  test('that the system does not list goes by its name', async () => {
    const source = serialSource('/dev/pts/7', async () => [port('/dev/ttyUSB0', device)]);
    expect((await source()).path).toBe('/dev/pts/7');
    expect((await source()).path).toBe('/dev/pts/7');
  });
});

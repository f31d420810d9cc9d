// The real serial library on a pseudo-terminal, with the firmware in real time at its far end.
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { servePty } from '../../sim/index.ts';
import { serialSource } from '../../src/link/probe/find-probes.ts';
import { SerialTransport } from '../../src/link/serial/serial-port.ts';
import { scratch } from '../support/scratch.ts';
import { idleProbe } from './emulated-rig.ts';
import { type LinkRig, linkContract } from './link-contract.ts';

async function ptyRig(): Promise<LinkRig> {
  const probe = idleProbe();
  const served = await servePty({ probe, stablePath: join(scratch(), 'probe') });
  return {
    source: serialSource(served.path, async () => []), // no pseudo-terminal is ever listed
    unplug: () => served.unplug(),
    plugIn: () => served.plugIn(),
    dip: () => probe.brownOut(),
    close: () => served.close(),
  };
}

linkContract('a serial port (pseudo-terminal)', ptyRig);

test('a pseudo-terminal has no control lines, so it offers no reset pulse', async () => {
  const rig = await ptyRig();
  const transport = (await rig.source()) as SerialTransport;
  await transport.open();
  expect(transport.pulseReset).toBeUndefined();
  await transport.close();
  await rig.close();
});

test('a port that another program holds is busy, and is free when that ends', async () => {
  const rig = await ptyRig();
  const first = (await rig.source()) as SerialTransport;
  await first.open();
  const second = new SerialTransport(first.path);
  await expect(second.open()).rejects.toMatchObject({ code: 'port.busy' });
  await first.close();
  const third = new SerialTransport(first.path);
  await third.open();
  await third.close();
  await rig.close();
});

test('a port that is not there, and a file that is no port, are told as such', async () => {
  await expect(new SerialTransport('/dev/no-such-port').open()).rejects.toMatchObject({
    code: 'port.gone',
  });
  await expect(new SerialTransport(scratch()).open()).rejects.toMatchObject({ code: expect.stringMatching(/^port\./) });
  await expect(new SerialTransport('/dev/null').open()).rejects.toMatchObject({ code: 'port.speed' });
});

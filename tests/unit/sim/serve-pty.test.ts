// Through a real pseudo-terminal and the real serial library: the way any program meets the simulator.
import { existsSync, readlinkSync } from 'node:fs';
import { join } from 'node:path';
import { SerialPort } from 'serialport';
import { afterEach, describe, expect, test } from 'vitest';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import { type ServedPty, servePty } from '../../../sim/wire/serve-pty.ts';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import { decodePayload, encodeRequest, type Message } from '../../../src/protocol/messages.ts';
import { baudRate } from '../../../src/protocol/table.ts';
import { scratch } from '../../support/scratch.ts';
import { SetWorld } from '../../support/worlds.ts';

const served: ServedPty[] = [];
afterEach(async () => {
  for (const each of served.splice(0)) await each.close();
});

async function serve(stable = false): Promise<ServedPty> {
  const probe = new EmulatedProbe({ seed: 1, world: new SetWorld(), serial: 4242 });
  const one = await servePty(stable ? { probe, stablePath: join(scratch(), 'probe') } : { probe });
  served.push(one);
  return one;
}

async function open(path: string) {
  const port = new SerialPort({ path, baudRate, autoOpen: false });
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
  const decoder = new FrameDecoder();
  let waiting: ((message: Message) => void) | null = null;
  port.on('data', (bytes: Buffer) =>
    decoder.push(bytes, (payload) => {
      const message = decodePayload(payload);
      if (message.kind === 'answer') waiting?.(message);
    }),
  );
  let seq = 0;
  const hello = (): Promise<Message> =>
    new Promise((resolve) => {
      waiting = resolve;
      // the probe may be booting still: ask again, as any host must
      const again = setInterval(
        () => port.write(encodeRequest({ type: 'hello', hostMajor: 1, hostMinor: 0 }, seq++ & 0xff)),
        50,
      );
      waiting = (message) => {
        clearInterval(again);
        resolve(message);
      };
    });
  const close = (): Promise<void> => new Promise((resolve) => (port.isOpen ? port.close(() => resolve()) : resolve()));
  return { port, hello, close, decoder };
}

describe('pseudo-terminal', () => {
  test('a program opens it as a serial port, gets clean bytes, closes and opens it again', async () => {
    const { path } = await serve();
    for (let round = 0; round < 2; round++) {
      const host = await open(path);
      expect(await host.hello()).toMatchObject({ request: 'hello', status: 'ok', probeSerial: 4242 });
      expect(host.decoder.counters).toMatchObject({ crcErrors: 0, badEscapes: 0, runts: 0 });
      await host.close();
    }
  });

  // whether the serial library notices a hang-up depends on what it was doing just then, so the path is looked at here
  test('unplugged, the port goes; plugged in, the stable path leads to a new terminal', async () => {
    const one = await serve(true);
    const first = readlinkSync(one.path);
    const host = await open(one.path);
    await host.hello();
    one.unplug();
    expect(existsSync(one.path)).toBe(false);
    expect(existsSync(first)).toBe(false);
    await host.close();
    one.plugIn();
    expect(readlinkSync(one.path).startsWith('/dev/')).toBe(true);
    expect(first.startsWith('/dev/')).toBe(true);
    const again = await open(one.path);
    expect(await again.hello()).toMatchObject({ status: 'ok', resetCause: 1, bootCount: 2 });
    await again.close();
  });

  test("a stable path that can't be made is one clear sentence", async () => {
    const probe = new EmulatedProbe({ seed: 1, world: new SetWorld() });
    await expect(servePty({ probe, stablePath: '/no/such/folder/probe' })).rejects.toMatchObject({ code: 'sim.link' });
  });
});

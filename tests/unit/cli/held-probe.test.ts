// A probe is opened once: before the job, held while the job is opened, and taken over by the session.
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { holdProbe } from '../../../src/cli/program/held-probe.ts';
import type { LinkItem } from '../../../src/link/probe/probe-link.ts';
import { emulatedRig } from '../../contract/emulated-rig.ts';
import { scratch } from '../../support/scratch.ts';

/** A port with an emulated probe that counts how often it is opened. */
function countedPort() {
  const rig = emulatedRig();
  const port = { opened: 0, sourceOf: () => () => rig.source() };
  return Object.assign(port, {
    sourceOf: () => () => {
      port.opened += 1;
      return rig.source();
    },
  });
}

const signal = () => new AbortController().signal;

describe('a held probe', () => {
  test('is handed over with what came before, and the port is opened once', async () => {
    const port = countedPort();
    const held = await holdProbe({ port: 'somewhere', sourceOf: port.sourceOf }, { signal: signal() });
    const items: LinkItem[] = [];
    const taken = held!.take((item) => items.push(item), signal());
    expect(items).toEqual([]);
    const link = await taken;
    expect(items[0]?.kind).toBe('connected');
    expect(link.identity.probeSerial).toBe(4242);
    expect((await link.readCalibration()).state).toBe('blank');
    expect(port.opened).toBe(1);
    await link.close();
    await held!.release();
  });

  test('that nobody takes is let go: the link is closed, and the byte log with it', async () => {
    const bytes = join(scratch(), 'session.owbytes');
    const held = await holdProbe({ port: 'somewhere', bytes, sourceOf: countedPort().sourceOf }, { signal: signal() });
    await held!.release();
    expect(existsSync(bytes)).toBe(true);
    const link = await held!.take(() => undefined, signal());
    await expect(link.readCalibration()).rejects.toMatchObject({ code: 'link.closed' });
  });

  test('ends with the session that took it, and before that with the command', async () => {
    const session = new AbortController();
    const held = await holdProbe({ port: 'somewhere', sourceOf: countedPort().sourceOf }, { signal: signal() });
    const link = await held!.take(() => undefined, session.signal);
    session.abort();
    await expect(link.readCalibration()).rejects.toMatchObject({ code: 'link.closed' });

    const command = new AbortController();
    const other = await holdProbe({ port: 'x', sourceOf: countedPort().sourceOf }, { signal: command.signal });
    command.abort();
    const closed = await other!.take(() => undefined, signal());
    await expect(closed.readCalibration()).rejects.toMatchObject({ code: 'link.closed' });
  });

  test('of the emulated port there is none', async () => {
    expect(await holdProbe({ port: 'sim:' }, { signal: signal() })).toBeNull();
  });
});

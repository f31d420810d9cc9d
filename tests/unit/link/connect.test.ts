import { describe, expect, test } from 'vitest';
import { OhmwrightError } from '../../../src/errors/ohmwright-error.ts';
import { LinkError } from '../../../src/link/link-error.ts';
import { ProbeLink } from '../../../src/link/probe/probe-link.ts';
import { protocolVersion, timeoutTable } from '../../../src/protocol/table.ts';
import { ManualTimers } from './manual-timers.ts';
import { failingConnect, openLink } from './open-link.ts';
import { ScriptedProbe } from './scripted-probe.ts';

const helloMs = timeoutTable.helloAfterOpen.ms;

describe('opening a link', () => {
  test('says hello, stops what may still run, and tells who is there', async () => {
    const { link, probe, told } = await openLink();
    expect(probe.names).toEqual(['hello', 'stop']);
    expect(probe.got[0]!.body).toEqual([protocolVersion.major, protocolVersion.minor]);
    expect(told()).toEqual(['connected']);
    expect(link.identity).toMatchObject({ probeSerial: 1001, protoMajor: 1, bootCount: 1 });
    expect(link.path).toBe('test-port');
  });

  test('a boot loader swallows the first hellos: they are said until the probe answers', async () => {
    const timers = new ManualTimers();
    const probe = new ScriptedProbe();
    probe.onRequest = ({ name }) => (name === 'hello' && probe.got.length < 6 ? null : 'ok');
    const connecting = ProbeLink.connect(probe.source, { onItem: () => undefined, timers });
    await timers.pass(helloMs);
    const link = await connecting;
    expect(probe.names.filter((name) => name === 'hello')).toHaveLength(6);
    // the same frame each time, so a late answer to any of them fits
    expect(new Set(probe.got.slice(0, 6).map((request) => request.seq)).size).toBe(1);
    expect(link.counters().retries).toBe(5);
  });

  test('noise before the first frame costs nothing', async () => {
    const { told, link } = await openLink({}, (probe) => {
      probe.noise = Uint8Array.of(0x55, 0xdb, 0x00, 0x12, 0xdb);
    });
    expect(told()).toEqual(['connected']);
    expect(link.counters().badEscapes).toBeGreaterThan(0);
  });

  test('a boot notice and readings of before are no part of the session', async () => {
    const { told } = await openLink({}, (probe) => {
      probe.onRequest = ({ name }) => {
        if (name === 'hello' && probe.got.length === 1) probe.boot();
        probe.readings({ index: 7, tUs: 5 });
        return 'ok';
      };
    });
    expect(told()).toEqual(['connected']);
  });

  test('a probe that answers just before the reset that opening gave it is greeted again', async () => {
    const { probe, link, told } = await openLink({}, (probe) => {
      probe.onRequest = ({ name }) => {
        if (name === 'stop' && probe.bootCount === 1) probe.boot();
        return 'ok';
      };
    });
    expect(probe.names).toEqual(['hello', 'stop', 'hello', 'stop']);
    expect(link.identity.bootCount).toBe(2);
    expect(told()).toEqual(['connected']);
  });
});

describe('a port without a probe', () => {
  test('is told as such when nothing comes, after every hello', async () => {
    const probe = new ScriptedProbe();
    probe.onRequest = () => null;
    const error = await failingConnect(probe, 2 * helloMs);
    expect(error).toBeInstanceOf(LinkError);
    expect(error).toMatchObject({ code: 'link.not-a-probe' });
    expect((error as LinkError).facts).toEqual({ heard: { bytes: 0, frames: 0 } });
    expect(probe.names).toEqual(Array(Math.ceil(helloMs / timeoutTable.answer.ms)).fill('hello'));
    expect(probe.transport.isOpen).toBe(false);
  });

  test('how many bytes came is said, and whether any frame was whole', async () => {
    const chatter = async (bytes: (probe: ScriptedProbe) => void) => {
      const probe = new ScriptedProbe();
      probe.onRequest = () => {
        if (probe.got.length === 1) bytes(probe);
        return null;
      };
      return (await failingConnect(probe, 2 * helloMs)) as LinkError;
    };
    const text = await chatter((probe) => probe.send(Buffer.from('READY.\r\n')));
    expect(text.facts).toEqual({ heard: { bytes: 8, frames: 0 } });
    const frames = await chatter((probe) => probe.payload(120, 1, 2));
    expect(frames.facts).toMatchObject({ heard: { frames: 1 } });
  });

  test('gets one pulse on the reset line, where there is one', async () => {
    const probe = new ScriptedProbe();
    probe.canPulse = true;
    probe.onRequest = () => null;
    expect(await failingConnect(probe, 3 * helloMs)).toMatchObject({ code: 'link.not-a-probe' });
    expect(probe.pulses).toBe(1);
    expect(probe.names).toHaveLength(2 * Math.ceil(helloMs / timeoutTable.answer.ms));
  });

  test('a probe that answers after the pulse is connected', async () => {
    const timers = new ManualTimers();
    const probe = new ScriptedProbe();
    probe.canPulse = true;
    probe.onRequest = () => (probe.pulses > 0 ? 'ok' : null);
    const connecting = ProbeLink.connect(probe.source, { onItem: () => undefined, timers });
    await timers.pass(3 * helloMs);
    expect((await connecting).identity.probeSerial).toBe(1001);
  });

  test('one that echoes what it gets is no probe', async () => {
    const probe = new ScriptedProbe();
    probe.onRequest = ({ seq }) => {
      probe.payload(1, seq, 1, 0);
      return null;
    };
    expect(await failingConnect(probe, 2 * helloMs)).toMatchObject({ code: 'link.not-a-probe' });
  });

  test('one that closes while it is greeted is told as lost', async () => {
    const probe = new ScriptedProbe();
    probe.onRequest = () => {
      probe.transport.drop('unplugged');
      return null;
    };
    const error = (await failingConnect(probe, 1000)) as LinkError;
    expect(error.code).toBe('link.lost');
    expect(error.facts).toEqual({ why: 'unplugged' });
  });

  test('an error of the port itself comes through as it is', async () => {
    const probe = new ScriptedProbe();
    probe.openError = new OhmwrightError('port.busy', 'in use');
    expect(await failingConnect(probe, 0)).toBe(probe.openError);
  });
});

describe('versions', () => {
  const ourVersion = `${protocolVersion.major}.${protocolVersion.minor}`;

  test('another major version is refused with both numbers, when the probe answers anyway', async () => {
    const probe = new ScriptedProbe();
    probe.protoMajor = 3;
    probe.protoMinor = 4;
    const error = (await failingConnect(probe, 1000)) as LinkError;
    expect(error.code).toBe('link.wrong-version');
    expect(error.facts).toEqual({ versions: { theirs: '3.4', ours: ourVersion } });
  });

  test('a probe that refuses our version is asked which it speaks', async () => {
    const probe = new ScriptedProbe();
    probe.protoMajor = 2;
    probe.protoMinor = 5;
    probe.onRequest = ({ body }) => (body[0] === 2 ? 'ok' : 'wrongVersion');
    const error = (await failingConnect(probe, 0)) as LinkError;
    expect(error).toMatchObject({ code: 'link.wrong-version' });
    expect(error.facts).toEqual({ versions: { theirs: '2.5', ours: ourVersion } });
  });

  test('a newer minor version is fine, and what only it knows is counted and skipped', async () => {
    const { link, probe, told } = await openLink({}, (p) => {
      p.protoMinor = 9;
    });
    probe.payload(100, 0, 1, 2, 3);
    expect(told()).toEqual(['connected']);
    expect(link.counters()).toMatchObject({ unknownMessages: 1, malformedMessages: 0 });
  });
});

describe('stopping', () => {
  test('an abort while connecting closes the port and gives the reason', async () => {
    const probe = new ScriptedProbe();
    const abort = new AbortController();
    probe.onRequest = () => {
      abort.abort(new Error('stopped by us'));
      return null;
    };
    expect(await failingConnect(probe, 1000, { signal: abort.signal })).toMatchObject({ message: 'stopped by us' });
    expect(probe.transport.isOpen).toBe(false);
  });

  test('an aborted signal opens nothing', async () => {
    const probe = new ScriptedProbe();
    expect(await failingConnect(probe, 0, { signal: AbortSignal.abort() })).toMatchObject({ name: 'AbortError' });
    expect(probe.transports).toEqual([]);
  });

  test('closing switches the probe off, closes the port once, and leaves no timer', async () => {
    const { link, probe, timers } = await openLink();
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    await link.close();
    await link.close();
    expect(probe.names.slice(-2)).toEqual(['mode', 'stop']);
    expect(probe.transport.isOpen).toBe(false);
    expect(timers.count).toBe(0);
    await expect(link.request({ type: 'keepAlive' })).rejects.toMatchObject({ code: 'link.closed' });
  });

  test('whoever closes second waits for the first', async () => {
    const abort = new AbortController();
    const { link, probe } = await openLink({ signal: abort.signal });
    abort.abort();
    expect(probe.transport.isOpen).toBe(true);
    await link.close();
    expect(probe.names.slice(-2)).toEqual(['mode', 'stop']);
    expect(probe.transport.isOpen).toBe(false);
  });

  test('closing does not wait for a probe that is silent', async () => {
    const { link, probe, timers } = await openLink();
    probe.onRequest = () => null;
    const closing = link.close();
    await timers.pass(2 * timeoutTable.answer.ms);
    await closing;
    expect(probe.names.slice(-2)).toEqual(['mode', 'stop']);
    expect(probe.transport.isOpen).toBe(false);
  });
});

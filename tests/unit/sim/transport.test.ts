import { createHash } from 'node:crypto';
import { setImmediate as turn } from 'node:timers/promises';
import { describe, expect, test } from 'vitest';
import { EmulatedProbe } from '../../../sim/probe/emulated-probe.ts';
import { SimTransport } from '../../../sim/wire/transport.ts';
import { FaultyWire } from '../../../sim/wire/wire.ts';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import { decodePayload, encodeRequest, type Message, type Request } from '../../../src/protocol/messages.ts';
import { SetWorld } from '../../support/worlds.ts';

/** A small host over a transport: asks and waits for the answer, by the event loop alone. */
class Talker {
  readonly decoder = new FrameDecoder();
  readonly messages: Message[] = [];
  readonly hash = createHash('sha256');
  readonly transport: SimTransport | FaultyWire;
  private seq = 0;

  constructor(transport: SimTransport | FaultyWire) {
    this.transport = transport;
    transport.onData((bytes) => {
      this.hash.update(bytes);
      this.decoder.push(bytes, (payload) => this.messages.push(decodePayload(payload)));
    });
  }

  async ask(request: Request, turns = 400): Promise<Message | null> {
    const seq = this.seq++ & 0xff;
    await this.transport.write(encodeRequest(request, seq));
    for (let i = 0; i < turns; i++) {
      await turn();
      const answer = this.messages.find((message) => message.kind === 'answer' && message.seq === seq);
      if (answer !== undefined) return answer;
    }
    return null;
  }
}

const hello: Request = { type: 'hello', hostMajor: 1, hostMinor: 0 };
const make = (seed = 1) => {
  const probe = new EmulatedProbe({ seed, world: new SetWorld(), serial: 77 });
  return { probe, transport: new SimTransport({ probe }) };
};

async function booted(talker: Talker): Promise<void> {
  await talker.transport.open();
  while (!talker.messages.some((message) => message.kind === 'boot')) await turn();
}

describe('in virtual time', () => {
  test('the same host and seed give the same bytes', async () => {
    const digests = await Promise.all(
      [5, 5, 6].map(async (seed) => {
        const { probe, transport } = make(seed);
        const talker = new Talker(transport);
        await booted(talker);
        await talker.ask(hello);
        await talker.ask({ type: 'start', rate: 'standard', batch: 8 });
        await talker.ask({ type: 'mode', mode: 'resistance', level: 'normal', range: 'auto', input: 'tips' });
        while (probe.nowUs < 1_000_000) await turn();
        await transport.close();
        return talker.hash.digest('hex');
      }),
    );
    expect(digests[0]).toBe(digests[1]);
    expect(digests[0]).not.toBe(digests[2]);
  });

  test('a held clock stands still, however long the host takes', async () => {
    const { probe, transport } = make();
    const talker = new Talker(transport);
    await booted(talker);
    const goOn = transport.hold();
    const also = transport.hold();
    await turn();
    const atUs = probe.nowUs;
    for (let i = 0; i < 200; i++) await turn();
    expect(probe.nowUs).toBe(atUs);
    goOn();
    goOn();
    await turn();
    expect(probe.nowUs).toBe(atUs);
    also();
    for (let i = 0; i < 5; i++) await turn();
    expect(probe.nowUs).toBeGreaterThan(atUs);
    await transport.close();
  });

  test("time-outs go by the probe's clock, in order, and can be cleared", async () => {
    const { probe, transport } = make();
    await transport.open();
    const ran: [string, number][] = [];
    const note = (name: string) => () => ran.push([name, probe.nowUs]);
    const startUs = probe.nowUs;
    const timers = transport.timers!;
    timers.set(300, note('later'));
    timers.set(100, note('sooner'));
    timers.clear(timers.set(50, note('never')));
    while (ran.length < 2) await turn();
    expect(ran.map(([name]) => name)).toEqual(['sooner', 'later']);
    expect(ran[0]![1] - startUs).toBeGreaterThanOrEqual(100_000);
    expect(ran[0]![1] - startUs).toBeLessThan(103_000);
    await transport.close();
  });

  test('time-outs set before closing still come', async () => {
    const { transport } = make();
    await transport.open();
    const came = new Promise<void>((resolve) => transport.timers!.set(20, resolve));
    await transport.close();
    await came;
  });

  test('opening again resets the probe; so does its reset line; unplugging switches it off', async () => {
    const { probe, transport } = make();
    const first = new Talker(transport);
    await booted(first);
    let why = '';
    transport.onClose((reason) => {
      why = reason;
    });
    transport.unplug();
    expect(why).toBe('unplugged');
    expect(probe.isOff).toBe(true);
    expect(await first.ask(hello, 20)).toBeNull();

    const again = new SimTransport({ probe });
    const second = new Talker(again);
    await booted(second);
    expect(second.messages.at(-1)).toMatchObject({ kind: 'boot', resetCause: 1, bootCount: 2 });
    await again.pulseReset();
    while (second.messages.filter((message) => message.kind === 'boot').length < 2) await turn();
    expect(second.messages.at(-1)).toMatchObject({ kind: 'boot', resetCause: 2, bootCount: 3 });
    await again.close();
  });
});

describe('a bad wire', () => {
  async function through(rates: ConstructorParameters<typeof FaultyWire>[2], seed = 3) {
    const { probe, transport } = make();
    const wire = new FaultyWire(transport, seed);
    const talker = new Talker(wire);
    await booted(talker);
    await talker.ask(hello);
    await talker.ask({ type: 'start', rate: 'standard', batch: 8 });
    wire.rates = rates ?? {};
    const untilUs = probe.nowUs + 2_000_000;
    while (probe.nowUs < untilUs) await talker.ask({ type: 'keepAlive' }, 30);
    await wire.close();
    return { wire, talker };
  }

  test('without faults nothing is lost', async () => {
    const { wire, talker } = await through({});
    expect(wire.counters).toEqual({ lost: 0, flipped: 0, doubled: 0, delayed: 0, stalls: 0, overflowed: 0 });
    expect(talker.decoder.counters).toMatchObject({ crcErrors: 0, badEscapes: 0, oversize: 0, runts: 0 });
  });

  test.each([
    ['lost', { lost: 0.01 }],
    ['flipped', { flipped: 0.01 }],
    ['doubled', { doubled: 0.01 }],
  ] as const)('%s bytes are at the rate asked for, and the frames they hit are noticed', async (name, rates) => {
    const { wire, talker } = await through(rates);
    const { bytes, frames, crcErrors, badEscapes, oversize, runts } = talker.decoder.counters;
    expect(wire.counters[name] / bytes).toBeGreaterThan(0.006);
    expect(wire.counters[name] / bytes).toBeLessThan(0.014);
    expect(crcErrors + badEscapes + oversize + runts).toBeGreaterThan(20);
    expect(frames).toBeGreaterThan(50);
    expect(talker.messages.every((message) => message.kind !== 'unknown')).toBe(true);
  });

  test('delays and stalls keep every byte and their order', async () => {
    const { wire, talker } = await through({ delayed: 0.05, stalled: 0.02 });
    expect(wire.counters.delayed).toBeGreaterThan(3);
    expect(wire.counters.stalls).toBeGreaterThan(0);
    expect(talker.decoder.counters).toMatchObject({ crcErrors: 0, badEscapes: 0 });
  });

  test('a host that is too slow for its buffer loses bytes', async () => {
    const { wire, talker } = await through({ stalled: 0.05, stallTurns: 60, hostBufferBytes: 200 });
    expect(wire.counters.overflowed).toBeGreaterThan(100);
    expect(talker.decoder.counters.crcErrors + talker.decoder.counters.oversize).toBeGreaterThan(0);
  });
});

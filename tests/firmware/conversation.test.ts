// Requests and notices of the firmware core, with a board that records instead of hardware. Rules: firmware-protocol/protocol.md.
import { describe, expect, test } from 'vitest';
import { FrameDecoder } from '../../src/protocol/frame-decoder.ts';
import { decodePayload, encodeRequest, type Message, type Request } from '../../src/protocol/messages.ts';
import { encodeFrame } from '../../src/protocol/slip.ts';
import { flagBits } from '../../src/protocol/table.ts';
import { missingBuildTool, runCore } from './host-core.ts';

interface Step {
  messages: Message[];
  excitation: boolean;
  bridge: boolean;
  source: number;
  gain200: boolean;
  dry: boolean;
  input: number;
  channel: 'sense' | 'tips';
  rate: number;
  bridgeMs: number;
  toneHz: number;
  overlap: boolean;
}

const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');
let seq = 0;
const ask = (request: Request, as = seq++ & 255) => `rx ${hex(encodeRequest(request, as))}`;
const tips = (volt: number) => `reading ${Math.round(8192 + 409.6 * volt)} ${Math.round(512 + 25.6 * volt)} 0 0 0`;
const sense = (code: number) => `reading ${code} 514 0 1 1`;
const resistance: Request = { type: 'mode', mode: 'resistance', level: 'normal', range: 'auto', input: 'tips' };
const voltage: Request = { type: 'mode', mode: 'voltage', level: 'normal', range: 'auto', input: 'tips' };
const start: Request = { type: 'start', rate: 'standard', batch: 4 };

/** Runs a booted probe through the steps and returns what each sent and the outputs after it. */
function play(steps: string[]): Step[] {
  return runCore(['probe begin', ...steps.map((s) => `probe ${s}`)])
    .slice(1)
    .map((line) => {
      const [sent, out] = line.split(';') as [string, string];
      const messages: Message[] = [];
      const decoder = new FrameDecoder();
      decoder.push(Buffer.from(sent.trim(), 'hex'), (payload) => messages.push(decodePayload(payload)));
      expect(decoder.counters).toMatchObject({ crcErrors: 0, badEscapes: 0, oversize: 0, runts: 0 });
      const n = out.trim().split(' ').map(Number);
      return {
        messages,
        excitation: n[0] === 1,
        bridge: n[1] === 1,
        source: n[2]!,
        gain200: n[3] === 1,
        dry: n[4] === 1,
        input: n[5]!,
        channel: n[6] === 0 ? 'sense' : 'tips',
        rate: n[7]!,
        bridgeMs: n[8]!,
        toneHz: n[9]!,
        overlap: n[10] === 1,
      };
    });
}
const last = (steps: string[]) => play(steps).at(-1)!;
const times = (n: number, step: string) => Array.from({ length: n }, () => step);
/** A look at 0 V, as long as boot and request ask for. */
const quiet = times(3, tips(0));
const excited = [...quiet, ask(resistance), ...quiet, 'loop 1'];
const bridged = (ms: number) => [...quiet, ask(voltage), ask({ type: 'bridge', durationMs: ms }), ...quiet, 'loop 1'];

describe.skipIf(missingBuildTool('cc'))('requests', () => {
  test('hello tells who the probe is', () => {
    const { messages } = last(['time 5000', ask({ type: 'hello', hostMajor: 1, hostMinor: 9 }, 200)]);
    expect(messages).toEqual([
      {
        kind: 'answer',
        request: 'hello',
        seq: 200,
        status: 'ok',
        protoMajor: 1,
        protoMinor: 1,
        fwMajor: 1,
        fwMinor: 1,
        fwBuild: expect.any(Number),
        probeSerial: 0xffffffff,
        capabilities: 63,
        resetCause: 1,
        bootCount: 1,
        clockUs: 5000,
        maxPayload: 64,
      },
    ]);
  });

  test.each<[string, Request, string]>([
    ['another major version', { type: 'hello', hostMajor: 2, hostMinor: 0 }, 'wrongVersion'],
    ['an unknown rate', { type: 'start', rate: 3, batch: 1 }, 'badValue'],
    ['an empty batch', { type: 'start', rate: 'standard', batch: 0 }, 'badValue'],
    ['a batch above 16', { type: 'start', rate: 'standard', batch: 17 }, 'badValue'],
    ['a bridge above 2 s', { type: 'bridge', durationMs: 2001 }, 'badValue'],
    ['a tone too low', { type: 'tone', frequencyHz: 99, durationMs: 10 }, 'badValue'],
    ['a tone too high', { type: 'tone', frequencyHz: 5001, durationMs: 10 }, 'badValue'],
    ['a tone too long', { type: 'tone', frequencyHz: 1000, durationMs: 2001 }, 'badValue'],
    ['a read of nothing', { type: 'calRead', offset: 0, count: 0 }, 'badValue'],
    ['a read of 33', { type: 'calRead', offset: 0, count: 33 }, 'badValue'],
    ['a read across the end', { type: 'calRead', offset: 511, count: 2 }, 'badValue'],
    ['a read far away', { type: 'calRead', offset: 65535, count: 2 }, 'badValue'],
    ['a write across the end', { type: 'calWrite', offset: 500, data: new Uint8Array(13) }, 'badValue'],
    ['the unset serial number', { type: 'setSerial', probeSerial: 0xffffffff }, 'badValue'],
  ])('%s is refused', (_, request, status) => {
    const messages = play([...quiet, ask(request, 7), ...quiet, 'loop 1']).flatMap((s) => s.messages);
    expect(messages).toMatchObject([{ kind: 'answer', request: request.type, seq: 7, status }]);
  });

  test('a body of the wrong length, an unknown type and an answer sent to the probe', () => {
    const raw = (...payload: number[]) => `rx ${hex(encodeFrame(Uint8Array.from(payload)))}`;
    const steps = play([raw(6, 1, 0), raw(2, 2, 1), raw(99, 3), raw(0x86, 4, 0), ask({ type: 'counters' })]);
    expect(steps[0]!.messages).toMatchObject([{ request: 'keepAlive', seq: 1, status: 'badLength' }]);
    expect(steps[1]!.messages).toMatchObject([{ request: 'start', seq: 2, status: 'badLength' }]);
    expect(steps[2]!.messages).toMatchObject([{ kind: 'unknown', type: 99 + 128, seq: 3 }]);
    expect(steps[3]!.messages).toEqual([]);
    expect(steps[4]!.messages).toMatchObject([
      { badFrames: 1, crcErrors: 0, refusals: 3, rxOverruns: 2, watchdogResets: 6, tipEdges: 7 },
    ]);
  });

  test('a repeated frame gets the same answer and is not carried out twice; hello is', () => {
    const bridge = ask({ type: 'bridge', durationMs: 100 }, 50);
    const steps = play([...quiet, ask(voltage), bridge, ...quiet, 'loop 1', 'bridgeTimer', 'loop 1', bridge, 'loop 2']);
    expect(steps[8]!.bridge).toBe(true);
    expect(steps.at(-2)!.messages).toMatchObject([{ request: 'bridge', seq: 50, status: 'ok' }]);
    expect(steps.at(-1)!.bridge).toBe(false);

    const hello = ask({ type: 'hello', hostMajor: 1, hostMinor: 0 }, 1);
    const clocks = play(['time 1000', hello, 'time 2000', hello]).flatMap((s) => s.messages);
    expect(clocks).toMatchObject([{ clockUs: 1000 }, { clockUs: 2000 }]);
  });

  test('excitation is decided on a reading that begins after the request', () => {
    const steps = play([...quiet, ask(resistance, 9), tips(0), 'loop 1', tips(3), 'loop 1']);
    expect(steps.slice(0, 6).flatMap((s) => s.messages)).toEqual([]);
    expect(steps.at(-1)!.messages).toContainEqual(expect.objectContaining({ request: 'mode', seq: 9, status: 'live' }));
    expect(steps.some((s) => s.excitation)).toBe(false);
    expect(last(excited)).toMatchObject({ excitation: true, channel: 'sense', source: 3, gain200: false, input: 0 });
  });

  test('calibration bytes are written one at a time, verified, and answered once', () => {
    const data = Uint8Array.of(1, 0xc0, 0xff, 0xdb);
    const write = ask({ type: 'calWrite', offset: 508, data }, 60);
    const steps = play([write, ...times(20, 'loop 1'), ask({ type: 'calRead', offset: 508, count: 4 }), 'loop 1']);
    const answers = steps.flatMap((s) => s.messages);
    expect(steps[0]!.messages).toEqual([]);
    expect(answers).toMatchObject([
      { request: 'calWrite', seq: 60, offset: 508, count: 4 },
      { request: 'calRead', offset: 508, data },
    ]);
  });

  test('a cell that does not keep its byte is told', () => {
    const steps = play(['break', ask({ type: 'calWrite', offset: 0, data: Uint8Array.of(5) }), 'loop 9']);
    expect(steps.at(-1)!.messages).toMatchObject([{ request: 'calWrite', status: 'writeFailed' }]);
  });

  test('the serial number is set once', () => {
    const set = (n: number) => [ask({ type: 'setSerial', probeSerial: n }), 'loop 30'];
    const steps = play([...set(0x1234), ...set(0x5678), ask({ type: 'hello', hostMajor: 1, hostMinor: 0 })]);
    expect(steps.flatMap((s) => s.messages)).toMatchObject([
      { status: 'ok' },
      { status: 'notAllowed' },
      { probeSerial: 0x1234 },
    ]);
  });

  test('a tone ends by itself, or at once', () => {
    const tone = (durationMs: number) => ask({ type: 'tone', frequencyHz: 880, durationMs });
    const steps = play([tone(100), 'time 99999', 'loop 1', 'time 100000', 'loop 1', tone(100), tone(0)]);
    expect(steps.map((s) => s.toneHz)).toEqual([880, 880, 880, 880, 0, 880, 0]);
  });
});

describe.skipIf(missingBuildTool('cc'))('readings', () => {
  test('a full batch goes out; a part batch when it is 8 ms old', () => {
    const first = play([ask(start), ...times(6, sense(8192)), 'loop 1']);
    const [batch] = last([ask(start), ...times(6, sense(8192)), 'loop 1']).messages;
    expect(first.flatMap((s) => s.messages)).toHaveLength(2);
    expect(batch).toMatchObject({ kind: 'readings', index: 0, periodUs: 884, range: 0, lost: 0, edges: 7 });
    const steps = play([ask(start), ...times(3, sense(8192)), 'time 7999', 'loop 1', 'time 8000', 'loop 1']);
    expect(steps.slice(1, -1).flatMap((s) => s.messages)).toEqual([]);
    expect(steps.at(-1)!.messages).toMatchObject([{ kind: 'readings', index: 0 }]);
  });

  test('readings of a notice share their flags: a change begins another', () => {
    const seated = sense(8192);
    const unseated = 'reading 8192 512 0 0 1';
    const [a, b] = last([ask(start), ...times(2, seated), seated, unseated, unseated, 'time 9000', 'loop 1']).messages;
    const base = flagBits.voltage | flagBits.seatB;
    expect(a).toMatchObject({ flags: base | flagBits.seatA, index: 0 });
    expect(b).toMatchObject({ flags: base, index: 1 });
  });

  test('what the ring cannot hold is counted: in the index, in lost, as an event, in the counters', () => {
    const steps = play([
      ask(start),
      ...times(50, sense(8192)),
      'loop 2',
      ...times(4, sense(8192)),
      'loop 2',
      ask({ type: 'counters' }),
    ]);
    const messages = steps.flatMap((s) => s.messages);
    const batches = messages.filter((m) => m.kind === 'readings');
    const lost = batches.reduce((n, b) => n + b.lost, 0);
    expect(lost).toBeGreaterThan(10);
    const held = batches.reduce((n, b) => n + b.codes.length, 0);
    const end = batches.at(-1)!;
    expect(end.index + end.codes.length).toBe(held + lost);
    expect(messages).toContainEqual(expect.objectContaining({ kind: 'event', code: 9, arg: lost }));
    expect(messages.at(-1)).toMatchObject({ request: 'counters', readingsLost: lost });
  });

  test('a change of range drops readings, and the next ones tell the new range', () => {
    const steps = play([...excited, ask(start), ...times(12, sense(328)), 'time 9000', 'loop 1']);
    const batches = steps.flatMap((s) => s.messages).filter((m) => m.kind === 'readings');
    expect(batches.map((b) => b.range).slice(0, 3)).toEqual([4, 2, 0]);
    expect(batches.map((b) => b.index).slice(0, 3)).toEqual([0, 1, 2]);
    expect(steps.at(-1)).toMatchObject({ source: 0, gain200: true });
  });

  test('order: readings from before an answer go before it', () => {
    const { messages } = last([ask(start), ...times(4, sense(8192)), ask({ type: 'keepAlive' })]);
    expect(messages.map((m) => m.kind)).toEqual(['readings', 'answer']);
  });
});

describe.skipIf(missingBuildTool('cc'))('safety', () => {
  test('a live tip drops the excitation in the interrupt itself, and the events say why', () => {
    const steps = play([...excited, ask(start), ...times(4, sense(9000)), 'reading 16368 580 1 1 1', 'loop 1']);
    const [before, trip, told] = steps.slice(-3);
    expect(before!.excitation).toBe(true);
    expect(trip).toMatchObject({ excitation: false, channel: 'tips' });
    const readings = told!.messages.filter((m) => m.kind === 'readings').at(-1)!;
    expect(readings.flags & flagBits.live).toBeTruthy();
    expect(readings.flags & (flagBits.excitation | flagBits.voltage)).toBe(0);
    expect(told!.messages.filter((m) => m.kind === 'event')).toMatchObject([
      { code: 7, arg: 2 },
      { code: 3, arg: 580 * 16 },
    ]);
  });

  test('the bridge timer is set to what was asked and opens it', () => {
    const steps = play([...bridged(750), 'bridgeTimer', 'loop 1']);
    expect(steps.at(-3)).toMatchObject({ bridge: true, excitation: false, bridgeMs: 750 });
    expect(steps.at(-1)).toMatchObject({ bridge: false, bridgeMs: -1 });
    expect(steps.at(-1)!.messages).toMatchObject([{ kind: 'event', code: 6, arg: 1 }]);
  });

  test('silence opens the bridge after 500 ms and turns the excitation off after 3 s, each told once', () => {
    const bridge = play([...bridged(2000), 'time 499999', 'loop 1', 'time 500000', 'loop 3']);
    expect(bridge.map((s) => s.bridge).slice(-4)).toEqual([true, true, true, false]);
    expect(bridge.at(-1)!.messages).toMatchObject([{ kind: 'event', code: 6, arg: 3 }]);

    const excitation = play([
      ...excited,
      ask(start),
      'time 2999999',
      'loop 1',
      'time 3000000',
      'loop 3',
      ...times(4, sense(8192)),
      'loop 3',
    ]);
    expect(excitation.at(-6)).toMatchObject({ excitation: false });
    expect(excitation.at(-6)!.messages).toMatchObject([
      { kind: 'event', code: 7, arg: 3 },
      { kind: 'event', code: 8 },
    ]);
    expect(excitation.at(-1)!.messages.filter((m) => m.kind === 'readings')).toEqual([]);
  });

  test('any request is a sign of life, also across the wrap of the clock', () => {
    const alive = ask({ type: 'keepAlive' });
    const steps = play([
      'time 4294000000',
      ask({ type: 'keepAlive' }),
      ...excited,
      'time 4294900000',
      alive,
      'time 1500000',
      'loop 1',
      'time 3000000',
      'loop 1',
    ]);
    expect(steps.at(-3)!.excitation).toBe(true);
    expect(steps.at(-1)!.excitation).toBe(false);
  });

  test('the button is told, with how long it was held', () => {
    const steps = play([
      'button 1',
      'loop 1',
      'time 20000',
      'loop 1',
      'button 0',
      'time 820000',
      'loop 1',
      'time 840000',
      'loop 1',
    ]);
    const events = steps.flatMap((s) => s.messages);
    expect(events).toMatchObject([
      { kind: 'event', code: 1, arg: 0, tUs: 20000 },
      { kind: 'event', code: 2, arg: 820, tUs: 840000 },
    ]);
  });
});

describe.skipIf(missingBuildTool('cc'))('the light sensor', () => {
  const light = (code: number) => `light ${code}`;
  const told = (steps: string[]) =>
    play(steps)
      .flatMap((step) => step.messages)
      .filter((message) => message.kind === 'event')
      .map(({ code, arg, tUs }) => ({ code, arg, tUs }));

  test('tells its first level after start, then changes of 24 codes from what was told last', () => {
    const steps = ['time 100000', ask(start), light(60), 'time 110000', light(83), 'time 120000', light(84), 'loop 1'];
    expect(told([...steps, 'time 130000', light(61), 'time 140000', light(60), 'loop 1'])).toEqual([
      { code: 10, arg: 60, tUs: 100000 },
      { code: 10, arg: 84, tUs: 120000 },
      { code: 10, arg: 60, tUs: 140000 },
    ]);
    expect(told([...steps, ask({ type: 'stop' }), ask(start), 'time 150000', light(84), 'loop 1']).at(-1)).toEqual({
      code: 10,
      arg: 84,
      tUs: 150000,
    });
  });

  test('at most every 8 ms, and the latest of a burst is not lost', () => {
    const burst = Array.from({ length: 40 }, (_, k) => [`time ${100000 + 1000 * k}`, light(k % 2 === 0 ? 200 : 600)]);
    const events = told(['time 100000', ask(start), ...burst.flat(), 'time 150000', light(600), 'loop 1']);
    const gaps = events.slice(1).map((event, k) => event.tUs - events[k]!.tUs);
    expect(events.length).toBeGreaterThan(3);
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(8000);
    expect(events.at(-1)!.arg).toBe(600);
  });

  test('says nothing while nobody listens, nor without a sensor', () => {
    expect(told(['time 100000', light(500), 'loop 1'])).toEqual([]);
    expect(told(['time 100000', ask(start), light(0), 'time 110000', light(15), 'loop 1'])).toEqual([]);
  });

  test.each([
    [15, 0],
    [16, 64],
  ])('at code %d the capability is %d', (code, capability) => {
    const { messages } = last([light(code), ask({ type: 'hello', hostMajor: 1, hostMinor: 1 })]);
    expect(messages[0]).toMatchObject({ request: 'hello', capabilities: 63 + capability });
  });
});

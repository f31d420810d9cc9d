// A host for tests: asks an emulated probe directly, in probe time, without link/ and without any clock of its own.
import type { EmulatedProbe } from '../../sim/probe/emulated-probe.ts';
import { FrameDecoder } from '../../src/protocol/frame-decoder.ts';
import {
  type AnswerOf,
  decodePayload,
  type EventNotice,
  encodeRequest,
  type Message,
  type ProbeAnswer,
  type ReadingsNotice,
  type Request,
} from '../../src/protocol/messages.ts';

const keepAliveUs = 100_000;

export class ProbeHost {
  readonly probe: EmulatedProbe;
  readonly decoder = new FrameDecoder();
  readonly bytes: number[] = [];
  readonly incoming: { tUs: number; message: Message }[] = [];
  private seq = 0;

  constructor(probe: EmulatedProbe) {
    this.probe = probe;
    probe.onByte = (byte, tUs) => {
      this.bytes.push(byte);
      this.decoder.push(Uint8Array.of(byte), (payload) => {
        this.incoming.push({ tUs, message: decodePayload(payload) });
      });
    };
  }

  /** Sends bytes as they are and lets some time pass. */
  send(bytes: Uint8Array, thenUs = 5_000): void {
    this.probe.write(bytes);
    this.probe.runUntilUs(this.probe.nowUs + thenUs);
  }

  /** Sends a request and returns its answer; throws when none comes within `withinUs`. */
  ask(request: Request, withinUs = 50_000): ProbeAnswer {
    const seq = this.seq++ & 0xff;
    const from = this.incoming.length;
    const { probe } = this;
    probe.write(encodeRequest(request, seq));
    const untilUs = probe.nowUs + withinUs;
    while (probe.nowUs < untilUs) {
      probe.runUntilUs(probe.nowUs + 500);
      for (const { message } of this.incoming.slice(from))
        if (message.kind === 'answer' && message.request === request.type && message.seq === seq) return message;
    }
    throw new Error(`no answer to ${request.type} within ${withinUs} us of probe time`);
  }

  /** Sends a request that must be carried out, and returns its answer. */
  do<R extends Request>(request: R, withinUs?: number): AnswerOf<R> {
    const answer = this.ask(request, withinUs);
    if (answer.status !== 'ok') throw new Error(`${request.type} was refused: ${answer.status}`);
    return answer as AnswerOf<R>;
  }

  /** Lets time pass; with keep-alives as a live host sends them unless told otherwise. */
  run(us: number, keepAlive = true): void {
    const untilUs = this.probe.nowUs + us;
    while (this.probe.nowUs < untilUs) {
      if (keepAlive) this.do({ type: 'keepAlive' });
      this.probe.runUntilUs(Math.min(untilUs, this.probe.nowUs + keepAliveUs));
    }
  }

  /** Boots the probe and starts streaming at the standard rate in resistance mode, automatic range. */
  begin(level: 'normal' | 'dry' = 'normal'): void {
    this.probe.runUntilUs(this.probe.nowUs + 150_000);
    this.do({ type: 'hello', hostMajor: 1, hostMinor: 0 });
    this.do({ type: 'start', rate: 'standard', batch: 8 });
    this.do({ type: 'mode', mode: 'resistance', level, range: 'auto', input: 'tips' });
  }

  readings(fromUs = 0): ReadingsNotice[] {
    return this.incoming
      .filter(({ tUs }) => tUs >= fromUs)
      .map(({ message }) => message)
      .filter((message) => message.kind === 'readings');
  }

  events(fromUs = 0): EventNotice[] {
    return this.incoming
      .filter(({ tUs }) => tUs >= fromUs)
      .map(({ message }) => message)
      .filter((message) => message.kind === 'event');
  }
}

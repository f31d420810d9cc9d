// A transport without a probe behind it: readings are fed in by the benchmark, and every request gets its answer at once.
import type { Transport } from '../../src/ports/transport.ts';
import type { FieldList } from '../../src/protocol/fields.ts';
import { FrameDecoder } from '../../src/protocol/frame-decoder.ts';
import { encodeAnswer, type ProbeAnswer, type RequestName } from '../../src/protocol/messages.ts';
import { protocolVersion, requestTable } from '../../src/protocol/table.ts';

const names = new Map(Object.entries(requestTable).map(([name, entry]) => [entry.type as number, name as RequestName]));

/** Returns an answer that says yes and holds zeros, but for what a link looks at. */
function answerOf(request: RequestName, seq: number, clockUs: number): ProbeAnswer {
  const fields: FieldList = requestTable[request].answer;
  const zeros = Object.fromEntries(fields.map(([name]) => [name, 0]));
  const hello = { protoMajor: protocolVersion.major, bootCount: 1, maxPayload: 64, clockUs };
  return { kind: 'answer', request, seq, status: 'ok', ...zeros, ...(request === 'hello' ? hello : {}) } as ProbeAnswer;
}

/** As a serial port delivers: some frames at a time, cut anywhere. */
const pieceBytes = 240;

/** Gives a link what the benchmark feeds it. */
export class FedTransport implements Transport {
  readonly path = 'fed by the benchmark';
  private readonly requests = new FrameDecoder();
  private readonly clockUs: number;
  private give: (bytes: Uint8Array) => void = () => undefined;
  private closed: (why: string) => void = () => undefined;

  /** @param clockUs probe time at which the stream begins */
  constructor(clockUs: number) {
    this.clockUs = clockUs;
  }

  async open(): Promise<void> {
    return;
  }

  /** Gives whole frames to the link, piece by piece; answers come between two calls, as between two frames of a probe. */
  feed(frames: Uint8Array): void {
    for (let at = 0; at < frames.length; at += pieceBytes) this.give(frames.subarray(at, at + pieceBytes));
  }

  async write(bytes: Uint8Array): Promise<void> {
    this.requests.push(bytes, ([type, seq]) => {
      const request = names.get(type!);
      if (request === undefined) throw new Error(`request of unknown type ${type}`);
      const frame = encodeAnswer(answerOf(request, seq!, this.clockUs));
      queueMicrotask(() => this.give(frame));
    });
  }

  onData(listener: (bytes: Uint8Array) => void): void {
    this.give = listener;
  }

  onClose(listener: (why: string) => void): void {
    this.closed = listener;
  }

  async close(): Promise<void> {
    this.closed('closed by the host');
  }
}

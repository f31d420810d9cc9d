import type { Transport } from '../../../src/ports/transport.ts';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import { encodeAnswer, encodeNotice, type Notice, type RequestName } from '../../../src/protocol/messages.ts';
import { encodeFrame } from '../../../src/protocol/slip.ts';
import { enumTable, requestTable, statusTable } from '../../../src/protocol/table.ts';

type StatusName = keyof typeof statusTable;

/** A request as a scripted probe got it: name, number and body bytes. */
export interface GotRequest {
  name: RequestName;
  seq: number;
  body: number[];
}

/**
 * The far end of a link, played by a test: answers requests with what the test has set, and sends what the test says. It is no probe: nothing of the
 * firmware's behaviour is in it, only frames.
 */
export class ScriptedProbe {
  serial = 1001;
  protoMajor = 1;
  protoMinor = 0;
  bootCount = 1;
  clockUs = 1000;
  /** Requests, in order, across all transports. */
  readonly got: GotRequest[] = [];
  /** Returns the status of a request, or null for no answer. */
  onRequest: (request: GotRequest) => StatusName | null = () => 'ok';
  /** Sent before every frame: noise. */
  noise = new Uint8Array();
  /** Sends each answer so many times. */
  copies = 1;
  readonly transports: ScriptedTransport[] = [];
  canPulse = false;
  pulses = 0;
  /** Why the next transports can't be opened. */
  openError: Error | null = null;
  #seq = 0;

  /** The source of transports that a link is given. */
  readonly source = (): ScriptedTransport => {
    const transport = new ScriptedTransport(this);
    this.transports.push(transport);
    return transport;
  };

  get transport(): ScriptedTransport {
    return this.transports.at(-1)!;
  }

  get names(): RequestName[] {
    return this.got.map((request) => request.name);
  }

  take(frame: Uint8Array, transport: ScriptedTransport): void {
    new FrameDecoder().push(frame, (payload) => {
      const [type, seq, ...body] = payload;
      const name = (Object.keys(requestTable) as RequestName[]).find((n) => requestTable[n].type === type)!;
      const request = { name, seq: seq!, body };
      this.got.push(request);
      const status = this.onRequest(request);
      if (status !== null) for (let i = 0; i < this.copies; i++) transport.receive(this.answer(request, status));
    });
  }

  answer({ name, seq }: GotRequest, status: StatusName): Uint8Array {
    if (status !== 'ok') {
      const refusal = { kind: 'answer', request: name, seq, status, statusCode: statusTable[status].code } as const;
      return encodeAnswer(refusal);
    }
    const { protoMajor, protoMinor, bootCount, clockUs } = this;
    const fields: Record<string, unknown> = { protoMajor, protoMinor, bootCount, clockUs };
    for (const [field, type] of requestTable[name].answer) {
      if (type === 'bytes') fields[field] = new Uint8Array(32).fill(0xff);
      else fields[field] ??= 0;
    }
    const values = { ...fields, probeSerial: this.serial, capabilities: 63, resetCause: 1, maxPayload: 64 };
    return encodeAnswer({ ...values, kind: 'answer', request: name, seq, status } as Parameters<
      typeof encodeAnswer
    >[0]);
  }

  /** Sends readings, the next in the numbering unless told otherwise. */
  readings(fields: Partial<Extract<Notice, { kind: 'readings' }>> & { index: number; tUs: number }): void {
    const { seq, ...rest } = fields;
    const plain = { periodUs: 884, range: 2, flags: 8, lost: 0, edges: 0, codes: Uint16Array.of(400, 401) };
    this.send(encodeNotice({ kind: 'readings', seq: seq ?? this.nextSeq(), ...plain, ...rest }));
  }

  event(name: keyof typeof enumTable.event, tUs: number, arg = 0): void {
    this.send(encodeNotice({ kind: 'event', seq: this.nextSeq(), code: enumTable.event[name], tUs, arg }));
  }

  boot(): void {
    this.#seq = 0;
    this.bootCount++;
    const { protoMajor, protoMinor, bootCount } = this;
    this.send(encodeNotice({ kind: 'boot', seq: this.nextSeq(), protoMajor, protoMinor, resetCause: 8, bootCount }));
  }

  /** Loses so many notices on the line. */
  lose(notices: number): void {
    this.#seq = (this.#seq + notices) % 256;
  }

  payload(...bytes: number[]): void {
    this.send(encodeFrame(Uint8Array.from(bytes)));
  }

  nextSeq(): number {
    const seq = this.#seq;
    this.#seq = (seq + 1) % 256;
    return seq;
  }

  send(bytes: Uint8Array): void {
    this.transport.receive(bytes);
  }
}

/** One opening of the scripted probe's port. */
export class ScriptedTransport implements Transport {
  readonly path = 'test-port';
  isOpen = false;
  pulseReset?: () => Promise<void>;
  readonly #probe: ScriptedProbe;
  #data: (bytes: Uint8Array) => void = () => undefined;
  #closed: (why: string) => void = () => undefined;

  constructor(probe: ScriptedProbe) {
    this.#probe = probe;
    if (!probe.canPulse) return;
    this.pulseReset = async () => {
      probe.pulses++;
    };
  }

  async open(): Promise<void> {
    if (this.#probe.openError !== null) throw this.#probe.openError;
    this.isOpen = true;
  }

  async write(bytes: Uint8Array): Promise<void> {
    if (!this.isOpen) throw new Error('not open');
    // a real line answers later, never within the write
    setImmediate(() => this.#probe.take(bytes, this));
  }

  onData(listener: (bytes: Uint8Array) => void): void {
    this.#data = listener;
  }

  onClose(listener: (why: string) => void): void {
    this.#closed = listener;
  }

  async close(): Promise<void> {
    this.drop('closed by the host');
  }

  receive(bytes: Uint8Array): void {
    if (this.isOpen) this.#data(Uint8Array.of(...this.#probe.noise, ...bytes));
  }

  /** The port goes away. */
  drop(why: string): void {
    if (!this.isOpen) return;
    this.isOpen = false;
    this.#closed(why);
  }
}

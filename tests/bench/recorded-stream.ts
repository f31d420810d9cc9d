// A stream of readings for hours: some seconds of the real firmware, played again and again with clock, index, sequence and edges counted on.
import { readingFlags } from '../../src/protocol/flags.ts';
import type { EventNotice, Notice, ReadingsNotice } from '../../src/protocol/messages.ts';
import { encodeNotice } from '../../src/protocol/messages.ts';
import type { ReadingBatch } from '../../src/protocol/reading-batch.ts';
import { groundPad, padOf, resistorBoard } from './resistor-board.ts';
import { TouchRig } from './touch-rig.ts';

/** Resistances that are touched, one after another: every range, and the open between them. */
const ohms = [0.2, 4.7, 33, 470, 2.2e3, 15e3, 120e3, 1.5e6];
/** Tips in the air between touches. */
const airUs = 500_000;

const wrap = (value: number, bits: 16 | 32): number => value % 2 ** bits;

/** Some seconds of a stream as it stands on the wire. */
export class RecordedStream {
  /** Readings and probe time of one pass. */
  readonly readings: number;
  readonly spanUs: number;
  readonly firstUs: number;
  private readonly notices: readonly (ReadingsNotice | EventNotice)[];
  private readonly firstIndex: number;
  private readonly edgesSpan: number;
  private seq = 0;

  constructor(notices: readonly (ReadingsNotice | EventNotice)[]) {
    const batches = notices.filter((notice) => notice.kind === 'readings');
    const first = batches[0]!;
    const last = batches.at(-1)!;
    this.notices = notices.slice(notices.indexOf(first), notices.indexOf(last) + 1);
    this.readings = last.index + last.codes.length - first.index;
    this.firstUs = first.tUs;
    this.spanUs = last.tUs + last.codes.length * last.periodUs - first.tUs;
    this.firstIndex = first.index;
    this.edgesSpan = wrap(last.edges - first.edges + 2 ** 16, 16);
  }

  /** Returns the frames of pass `pass` (from 0) as they would come on the wire. */
  *frames(pass: number): Generator<Uint8Array> {
    for (const notice of this.notices) yield encodeNotice(this.moved(notice, pass));
  }

  /** Returns the readings of pass `pass` (from 0) as batches, clock and index counted on without wraps. */
  *batches(pass: number): Generator<ReadingBatch> {
    for (const notice of this.notices) {
      if (notice.kind !== 'readings') continue;
      const { periodUs, range, lost, codes } = notice;
      yield {
        index: notice.index - this.firstIndex + pass * this.readings,
        tUs: notice.tUs + pass * this.spanUs,
        periodUs,
        range,
        flags: readingFlags(notice.flags),
        flagBits: notice.flags,
        lost,
        edges: wrap(notice.edges + pass * this.edgesSpan, 16),
        codes,
      };
    }
  }

  private moved(notice: ReadingsNotice | EventNotice, pass: number): Notice {
    this.seq = (this.seq + 1) & 0xff;
    const tUs = wrap(notice.tUs + pass * this.spanUs, 32);
    if (notice.kind === 'event') return { ...notice, seq: this.seq, tUs };
    const index = wrap(notice.index - this.firstIndex + pass * this.readings, 16);
    return { ...notice, seq: this.seq, tUs, index, edges: wrap(notice.edges + pass * this.edgesSpan, 16) };
  }
}

/** Returns a stream of touches and lifts over all ranges, recorded from the firmware at a rate. */
export function recordStream(rate: 'standard' | 'fast', batch: number): RecordedStream {
  const notices: (ReadingsNotice | EventNotice)[] = [];
  const rig = new TouchRig({ guide: resistorBoard(ohms), seed: 31, rate, batch });
  rig.run(airUs);
  rig.onNotice = (notice) => {
    if (notice.kind === 'readings' || notice.kind === 'event') notices.push(notice);
  };
  for (const index of ohms.keys()) {
    rig.run(airUs);
    rig.touch(padOf(index), groundPad);
  }
  rig.run(airUs);
  return new RecordedStream(notices);
}

/** Yields the readings of a stream as a session gets them, pass after pass, until there are `count` batches. */
export function* batchesOf(stream: RecordedStream, count: number): Generator<ReadingBatch> {
  let given = 0;
  for (let pass = 0; given < count; pass++) {
    for (const batch of stream.batches(pass)) {
      yield batch;
      given += 1;
      if (given === count) return;
    }
  }
}

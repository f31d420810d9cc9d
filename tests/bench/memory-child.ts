// Streams hours of readings through link, watch and meter, and prints what the heap held on the way, as JSON. Started by memory.ts with --expose-gc.
import { setImmediate as turn } from 'node:timers/promises';
import { type LinkItem, ProbeLink } from '../../src/link/probe/probe-link.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { JobReadingEvents } from '../../src/session/job/reading-events.ts';
import { freshMeter, stepMeter } from '../../src/session/meter/meter-reducer.ts';
import { FedTransport } from './fed-transport.ts';
import { recordStream } from './recorded-stream.ts';

/** What the heap held after a time of streaming. */
export interface HeapSample {
  readonly hours: number;
  readonly bytes: number;
}

const [warmUpHours = 0.5, endHours = 3, stepHours = 0.25] = process.argv.slice(2).map(Number);
const hourUs = 3600e6;
const framesATurn = 500;

function heapBytes(): number {
  // twice: what the first pass finds through finalizers goes in the second
  globalThis.gc?.();
  globalThis.gc?.();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

const stream = recordStream('standard', 8);
const transport = new FedTransport(stream.firstUs);
// one as for a touch, one as for key presses: both kinds of watching go on for as long as a person leaves them
const watches = (['touch', 'presses'] as const).map((tracking) => {
  const watch = new JobReadingEvents();
  watch.forget(true);
  watch.start({ mode: 'resistance', level: 'normal', input: 'tips' }, { tracking }, nominalCalibration);
  return watch;
});
let meter = freshMeter('resistance');
let readings = 0;
let contactEvents = 0;
let lines = 0;
let gaps = 0;
const onItem = (item: LinkItem): void => {
  if (item.kind === 'gap') gaps++;
  if (item.kind !== 'readings') return;
  readings += item.batch.codes.length;
  for (const watch of watches)
    for (const event of watch.readings(item.batch)) if (event.type === 'contact') contactEvents++;
  const { line } = meter;
  meter = stepMeter(meter, item.batch, nominalCalibration);
  if (meter.line !== line) lines++;
};
const link = await ProbeLink.connect(() => transport, { onItem });
await link.request({ type: 'start', rate: 'standard', batch: 8 });

const samples: HeapSample[] = [];
let nextHours = warmUpHours;
for (let pass = 0; samples.at(-1) === undefined || samples.at(-1)!.hours < endHours; pass++) {
  let block: Uint8Array[] = [];
  for (const frame of stream.frames(pass)) {
    block.push(frame);
    if (block.length < framesATurn) continue;
    transport.feed(Buffer.concat(block));
    block = [];
    await turn();
  }
  transport.feed(Buffer.concat(block));
  block = [];
  await turn();
  const hours = ((pass + 1) * stream.spanUs) / hourUs;
  if (hours < nextHours) continue;
  nextHours += stepHours;
  samples.push({ hours, bytes: heapBytes() });
}
await link.close();
process.stdout.write(JSON.stringify({ samples, readings, contactEvents, lines, gaps }));

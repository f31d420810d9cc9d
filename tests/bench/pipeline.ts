import { setImmediate as turn } from 'node:timers/promises';
import { type LinkItem, ProbeLink } from '../../src/link/probe/probe-link.ts';
import { defaultContactSettings } from '../../src/measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../src/measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { rateTable } from '../../src/protocol/table.ts';
import { type Figure, type Measured, median } from './benchmark.ts';
import { FedTransport } from './fed-transport.ts';
import { type RecordedStream, recordStream } from './recorded-stream.ts';

export const name = 'pipeline';
export const claim =
  'readings a second through the whole host (bytes, frames, link, contact) against what the probe sends at its full rate';

/** Frames between two turns of the event loop. */
const framesATurn = 500;
const warmUpPasses = 10;
const rounds = 7;
const passesARound = 30;
const target = 200;

/** Feeds passes of a stream through a link and a tracker, and returns readings a second in each round. */
async function ratesOf(
  stream: RecordedStream,
  rate: 'standard' | 'fast',
  batch: number,
): Promise<{ rates: number[]; readings: number }> {
  const transport = new FedTransport(stream.firstUs);
  const tracker = new ContactTracker(startContact(defaultContactSettings, nominalCalibration));
  let readings = 0;
  let captures = 0;
  let gaps = 0;
  const onItem = (item: LinkItem): void => {
    if (item.kind === 'gap') gaps++;
    if (item.kind !== 'readings') return;
    readings += item.batch.codes.length;
    for (const contactEvent of tracker.push(item.batch)) if (contactEvent.kind === 'captured') captures++;
  };
  const link = await ProbeLink.connect(() => transport, { onItem });
  await link.request({ type: 'start', rate, batch });
  const rates: number[] = [];
  let pass = 0;
  for (let round = 0; round <= rounds; round++) {
    const passes = round === 0 ? warmUpPasses : passesARound;
    const blocks = blocksOf(stream, pass, passes);
    pass += passes;
    const before = readings;
    const startMs = performance.now();
    for (const block of blocks) {
      transport.feed(block);
      await turn();
    }
    const seconds = (performance.now() - startMs) / 1000;
    if (round > 0) rates.push((readings - before) / seconds);
  }
  await link.close();
  if (gaps > 0 || captures === 0) throw new Error(`the stream was not understood: ${gaps} gaps, ${captures} captures`);
  return { rates, readings };
}

/** Returns the bytes of some passes, whole frames in each block. */
function blocksOf(stream: RecordedStream, from: number, passes: number): Uint8Array[] {
  const frames: Uint8Array[] = [];
  for (let pass = from; pass < from + passes; pass++) frames.push(...stream.frames(pass));
  const blocks: Uint8Array[] = [];
  for (let at = 0; at < frames.length; at += framesATurn)
    blocks.push(Buffer.concat(frames.slice(at, at + framesATurn)));
  return blocks;
}

/** Returns medians over rounds, at the standard rate with a session's batches and at the fast rate with full ones. */
export async function measure(): Promise<Measured> {
  const figures: Figure[] = [];
  const numbers: Record<string, number> = {};
  const work: Record<string, number> = {};
  for (const [rate, batch] of [
    ['standard', 8],
    ['fast', 16],
  ] as const) {
    const fullRate = 1e6 / rateTable[rate].periodUs;
    const { rates, readings } = await ratesOf(recordStream(rate, batch), rate, batch);
    const perSecond = median(rates);
    work[`${rate}Readings`] = readings;
    figures.push({ what: `readings a second / ${rate} rate`, value: perSecond / fullRate, sense: 'at least', target });
    numbers[`${rate}ReadingsPerSecond`] = perSecond;
  }
  return { figures, work, numbers };
}

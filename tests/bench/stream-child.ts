// A host that streams from a port through link and contact, and prints what that cost, as JSON. Started by host-cpu.ts: PATH WARM-UP-MS MEASURED-MS.
import { setTimeout as wait } from 'node:timers/promises';
import { type LinkItem, ProbeLink } from '../../src/link/probe/probe-link.ts';
import { SerialTransport } from '../../src/link/serial/serial-port.ts';
import { defaultContactSettings } from '../../src/measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../src/measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';

/** What streaming cost while it was measured. */
export interface StreamCost {
  readonly cpuUs: number;
  readonly wallUs: number;
  readonly readings: number;
  readonly gaps: number;
  readonly captures: number;
}

const [path = '', warmUpMs, measuredMs] = process.argv.slice(2);
const tracker = new ContactTracker(startContact(defaultContactSettings, nominalCalibration));
let readings = 0;
let gaps = 0;
let captures = 0;
const onItem = (item: LinkItem): void => {
  if (item.kind === 'gap') gaps++;
  if (item.kind !== 'readings') return;
  readings += item.batch.codes.length;
  for (const contactEvent of tracker.push(item.batch)) if (contactEvent.kind === 'captured') captures++;
};
const link = await ProbeLink.connect(() => new SerialTransport(path), { onItem });
await link.request({ type: 'start', rate: 'standard', batch: 8 });
await link.request({ type: 'mode', mode: 'resistance', level: 'normal', range: 'auto', input: 'tips' });
await wait(Number(warmUpMs));
const before = process.cpuUsage();
const startMs = performance.now();
const from = { readings, gaps, captures };
await wait(Number(measuredMs));
const { user, system } = process.cpuUsage(before);
const cost: StreamCost = {
  cpuUs: user + system,
  wallUs: (performance.now() - startMs) * 1000,
  readings: readings - from.readings,
  gaps: gaps - from.gaps,
  captures: captures - from.captures,
};
await link.close();
process.stdout.write(JSON.stringify(cost));

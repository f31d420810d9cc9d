import { describe, expect, test } from 'vitest';
import { LinkError } from '../../src/link/link-error.ts';
import { type LinkItem, ProbeLink } from '../../src/link/probe/probe-link.ts';
import type { ByteLog } from '../../src/link/recording/byte-log.ts';
import type { TransportSource } from '../../src/ports/transport.ts';
import { frontEndTable, rateTable } from '../../src/protocol/table.ts';

/** A kind of transport under test, with an erased probe whose tips are in the air behind it. */
export interface LinkRig {
  source: TransportSource;
  /** Takes the probe away. */
  unplug: () => void;
  plugIn: () => void;
  /** The supply dips below what the probe needs. */
  dip: () => void;
  close(): Promise<void>;
}

/** One link of the contract, with what it has told, and a way to wait for more. */
export interface ContractLink {
  link: ProbeLink;
  items: LinkItem[];
  /** Resolves with the first item, from the `from`th on, that is as wanted. */
  until(wanted: (item: LinkItem) => boolean, from?: number): Promise<LinkItem>;
}

/** One thing that every transport must do: run on a rig, it holds or it throws. */
export interface Clause {
  name: string;
  run(rig: LinkRig, connect: (rig: LinkRig, reconnect?: boolean) => Promise<ContractLink>): Promise<void>;
}

type Readings = Extract<LinkItem, { kind: 'readings' }>;
const readingsOf = (items: LinkItem[]) => items.filter((item): item is Readings => item.kind === 'readings');
const start = { type: 'start', rate: 'standard', batch: 8 } as const;

/** How a clause connects. */
export interface ConnectOptions {
  reconnect?: boolean | undefined;
  byteLog?: ByteLog;
  /** Sees every item as well. */
  listen?: (item: LinkItem) => void;
}

/** Connects, and gathers what is told. */
export async function connectTo(
  rig: Pick<LinkRig, 'source'>,
  { reconnect = false, byteLog, listen }: ConnectOptions = {},
): Promise<ContractLink> {
  const items: LinkItem[] = [];
  let look: () => void = () => undefined;
  const link = await ProbeLink.connect(rig.source, {
    reconnect,
    ...(byteLog && { byteLog }),
    onItem: (item) => {
      items.push(item);
      listen?.(item);
      look();
    },
  });
  const until = (wanted: (item: LinkItem) => boolean, from = 0): Promise<LinkItem> =>
    new Promise((resolve) => {
      look = () => {
        const found = items.slice(from).find(wanted);
        if (found !== undefined) resolve(found);
      };
      look();
    });
  return { link, items, until };
}

/** What every transport must do. */
export const clauses: Clause[] = [
  {
    name: 'finds the probe and says who it is',
    async run(rig, connect) {
      const { link, items } = await connect(rig);
      expect(items.map((item) => item.kind)).toEqual(['connected']);
      expect(link.identity).toMatchObject({ protoMajor: 1, probeSerial: 4242, maxPayload: 64 });
      expect(link.identity.capabilities).toContain('seatSense');
      expect(link.path).not.toBe('');
      await link.close();
    },
  },
  {
    name: 'carries every byte there and back',
    async run(rig, connect) {
      const { link } = await connect(rig);
      for (const first of [0, 32, 64, 96, 128, 160, 192, 224]) {
        const data = Uint8Array.from({ length: 32 }, (_, i) => first + i);
        expect((await link.request({ type: 'echo', data })).data).toEqual(data);
      }
      expect(link.counters()).toMatchObject({ crcErrors: 0, badEscapes: 0, oversize: 0 });
      await link.close();
    },
  },
  {
    name: 'tells a refusal with its status, and goes on',
    async run(rig, connect) {
      const { link } = await connect(rig);
      const error = await link.request({ type: 'bridge', durationMs: 5000 }).catch((e: unknown) => e);
      expect(error).toBeInstanceOf(LinkError);
      expect(error).toMatchObject({ code: 'link.refused', status: 'badValue' });
      expect((await link.request({ type: 'keepAlive' })).status).toBe('ok');
      await link.close();
    },
  },
  {
    name: 'reads the calibration area of an erased probe as blank',
    async run(rig, connect) {
      const { link } = await connect(rig);
      expect(await link.readCalibration()).toEqual({ state: 'blank' });
      await link.close();
    },
  },
  {
    name: 'streams readings without a gap, evenly on the clock of the probe, and stops',
    async run(rig, connect) {
      const { link, items, until } = await connect(rig);
      expect((await link.request(start)).periodUs).toBe(rateTable.standard.periodUs);
      await until((item) => item.kind === 'readings' && item.batch.index > 300);
      await link.request({ type: 'stop' });
      const after = items.length;
      await link.request({ type: 'keepAlive' });
      expect(items).toHaveLength(after);
      const batches = readingsOf(items).map((item) => item.batch);
      let next = 0;
      for (const batch of batches) {
        expect(batch.index).toBe(next);
        next += batch.codes.length;
        // times are those of the readings themselves: the clock of the probe counts in steps of 4 us
        const dueUs = batches[0]!.tUs + batch.index * batch.periodUs;
        expect(Math.abs(batch.tUs - dueUs)).toBeLessThan(batch.periodUs);
      }
      expect(items.filter((item) => item.kind === 'gap')).toEqual([]);
      await link.close();
    },
  },
  {
    name: 'keeps the probe awake for longer than it would wait for a silent host',
    async run(rig, connect) {
      const { link, items, until } = await connect(rig);
      await link.request(start);
      await link.request({ type: 'mode', mode: 'resistance', level: 'normal', range: 'auto', input: 'open' });
      const first = (await until((item) => item.kind === 'readings')) as Readings;
      const last = (await until((i) => i.kind === 'readings' && i.batch.tUs > first.batch.tUs + 3_300_000)) as Readings;
      expect(last.batch.flags.excitation).toBe(true);
      expect(items.filter((item) => item.kind === 'event' && item.name === 'heartbeatLost')).toEqual([]);
      await link.close();
    },
  },
  {
    name: 'measures the check resistor of the probe',
    async run(rig, connect) {
      const { link, items, until } = await connect(rig);
      await link.request(start);
      await link.request({ type: 'mode', mode: 'resistance', level: 'normal', range: 2, input: 'check' });
      const from = items.length;
      const item = await until((i) => i.kind === 'readings' && i.batch.flags.input === 'check', from);
      const { batch } = item as Readings;
      const { liveZeroVolt, referenceVolt, converterCodes, sumOf, checkResistorOhm } = frontEndTable;
      const codesPerVolt = (converterCodes * sumOf) / referenceVolt;
      // range 2: 1 kohm source, 4.0 V at the converter when open (protocol.md, section 7)
      const share = checkResistorOhm / (checkResistorOhm + 1000);
      const nominal = codesPerVolt * (liveZeroVolt + 4.0 * share);
      expect(batch.range).toBe(2);
      expect(Math.abs(batch.codes[0]! / nominal - 1)).toBeLessThan(0.05);
      await link.close();
    },
  },
  {
    name: 'lets go of the port at closing: the next one gets it, and the same probe',
    async run(rig, connect) {
      const first = await connect(rig);
      await first.link.close();
      await expect(first.link.request({ type: 'keepAlive' })).rejects.toMatchObject({ code: 'link.closed' });
      const second = await connect(rig);
      expect(second.link.identity.probeSerial).toBe(first.link.identity.probeSerial);
      await second.link.close();
    },
  },
  {
    name: 'tells that the probe was unplugged, finds it again and goes on',
    async run(rig, connect) {
      const { link, items, until } = await connect(rig, true);
      await link.request(start);
      await until((item) => item.kind === 'readings' && item.batch.index > 20);
      rig.unplug();
      await until((item) => item.kind === 'disconnected');
      const from = items.length;
      rig.plugIn();
      await until((item) => item.kind === 'connected', from);
      expect(items.slice(from).map((item) => item.kind)).toEqual(['gap', 'connected']);
      await link.request(start);
      await until((item) => item.kind === 'readings', from);
      expect(link.counters().reconnects).toBe(1);
      await link.close();
    },
  },
  {
    name: 'tells that the probe restarted, and goes on',
    async run(rig, connect) {
      const { link, items, until } = await connect(rig);
      await link.request(start);
      await until((item) => item.kind === 'readings' && item.batch.index > 20);
      const from = items.length;
      rig.dip();
      await until((item) => item.kind === 'connected', from);
      const told = items.slice(from).filter((item) => item.kind !== 'readings');
      expect(told.map((item) => item.kind)).toEqual(['disconnected', 'gap', 'connected']);
      expect(told[1]).toMatchObject({ cause: 'reset' });
      expect(link.identity.resetCause).toContain('brownOut');
      await link.close();
    },
  },
];

/** Runs the contract over one kind of transport. `makeRig` is called for each clause. */
export function linkContract(name: string, makeRig: (clause: Clause) => Promise<LinkRig>): void {
  describe(`a link over ${name}`, () => {
    for (const clause of clauses) {
      test(clause.name, async () => {
        const rig = await makeRig(clause);
        try {
          await clause.run(rig, (r, reconnect) => connectTo(r, { reconnect }));
        } finally {
          await rig.close();
        }
      });
    }
  });
}

import type { Random } from '../../../sim/random.ts';
import { closureOhm } from '../../../src/checks/bridge/prediction.ts';
import { meterOhm, probeEndOhm } from '../../../src/checks/circuit-reading.ts';
import type { Check, FaultMode, Guide, Level, Link, Power } from '../../../src/guide/types.ts';
import { type Branch, type Port, portOf } from '../../outside/dense-network.ts';
import type { DeviceFault, Specimen } from './specimen.ts';

/** How a check finds the device. */
export interface Found {
  power: Power;
  pressed: readonly string[];
  access: string | undefined;
  level: Level;
  /** Joins two pads: the meter, or the probe's closure. */
  joined?: { pads: readonly [string, string]; ohm: number };
  /** Loose contacts are in their bad moment. */
  isLooseOpen?: boolean;
  /** A link that is open at the moment, whatever else it is. */
  opened?: string;
}

/** What is left of lacquer that was wiped off. */
const bareOhm = 0.002;

/** Returns the node where a tip stands on the lacquer of a pad. */
export function underLacquer(pad: string): string {
  return `under ${pad}`;
}

/** A gap: beyond what any probe sees. */
const gapOhm = 1e12;

/**
 * A device on paper: its elements with their own ohms, solved by nodal analysis that shares nothing with the program's.
 *
 * Link ohms are drawn once from the spread of the device's guide, cut at two of it.
 */
export class PaperDevice {
  readonly #guide: Guide;
  readonly #faults: readonly DeviceFault[];
  readonly #ohm: Map<string, number>;

  constructor({ device, faults }: Specimen, random: Random) {
    this.#guide = device;
    this.#faults = faults;
    this.#ohm = new Map(
      device.links.map(({ id, ohm, spread }) => [id, ohm * Math.exp(spread * random.normalWithin(2))]),
    );
  }

  /** Lays a pad bare as far as its lacquer goes. */
  wipe(pad: string): void {
    const lacquer = this.#guide.links.find(({ from }) => from === underLacquer(pad));
    if (lacquer !== undefined) this.#ohm.set(lacquer.id, bareOhm);
  }

  /** Returns what two pads or nodes show; null: the ground. */
  port(found: Found, a: string, b: string | null): Port {
    const guide = this.#guide;
    const node = (name: string): string => guide.pads.find(({ id }) => id === name)?.node ?? name;
    const parts = guide.access.find(({ id }) => id === found.access)?.parts ?? [];
    const down = keysDown(guide, found.pressed);
    const branches = guide.links.flatMap((link): Branch[] => {
      const ohm = parts.includes(link.id) ? gapOhm : this.#ohmOf(link, found, down);
      return ohm >= gapOhm ? [] : [{ a: link.from, b: link.to, ohm }];
    });
    for (const { mode, link, node: other, ohm } of this.#faults) {
      if (mode !== 'short' || other === undefined) continue;
      branches.push({ a: guide.links.find(({ id }) => id === link)!.from, b: other, ohm: ohm ?? 0.1 });
    }
    if (found.joined !== undefined) {
      branches.push({ a: node(found.joined.pads[0]), b: node(found.joined.pads[1]), ohm: found.joined.ohm });
    }
    const rails = found.power === 'on' ? guide.rails : [];
    return portOf(branches, rails, guide.ground, node(a), b === null ? null : node(b));
  }

  /** Returns whether a link has a fault of this kind. */
  has(link: string, mode: FaultMode): boolean {
    return this.#faults.some((fault) => fault.link === link && fault.mode === mode);
  }

  /** Returns the ohms between two pads; Infinity when nothing joins them. */
  ohm(found: Found, [a, b]: readonly [string, string]): number {
    return this.port(found, a, b).ohm;
  }

  /** Returns the volts between two pads as the probe sees them, with its own resistance between its tips. */
  volt(found: Found, pads: readonly [string, string]): number {
    return this.port({ ...found, joined: { pads, ohm: meterOhm } }, ...pads).volt;
  }

  /** Returns whether a closure between a check's pads makes its input respond, and what is left of the voltage between them. */
  closed(check: Check & { kind: 'bridge' }): { responds: boolean; leftVolt: number } {
    const found: Found = { power: 'on', pressed: check.pressed, access: check.access, level: 'normal' };
    const closed: Found = { ...found, joined: { pads: check.pads, ohm: closureOhm } };
    const { node, belowVolt } = this.#guide.inputs.find(({ id }) => id === check.input)!;
    const isBelow = (how: Found): boolean => this.port(how, node, null).volt < belowVolt;
    return { responds: isBelow(closed) && !isBelow(found), leftVolt: this.port(closed, ...check.pads).volt };
  }

  /** Returns the greatest chance that a fault of the device makes what two pads show unsteady: 0 where none of its kind matters there. */
  unsteady(found: Found, pads: readonly [string, string]): number {
    const chances = { intermittent: 0.85, weak: 0.5, film: 0.1 } as const;
    const those = this.#faults.flatMap(({ mode, link }) =>
      mode in chances ? [{ mode: mode as keyof typeof chances, link }] : [],
    );
    return those.reduce(
      (most, { mode, link }) => Math.max(most, this.#matters(found, pads, link) ? chances[mode] : 0),
      0,
    );
  }

  #matters(found: Found, pads: readonly [string, string], link: string): boolean {
    const show = (how: Found): number =>
      found.power === 'on' ? this.volt(how, pads) : Math.log(Math.min(probeEndOhm, this.ohm(how, pads)) + 0.005);
    return Math.abs(show({ ...found, opened: link }) - show(found)) > (found.power === 'on' ? 0.02 : 0.05);
  }

  #ohmOf(link: Link, found: Found, down: ReadonlySet<string>): number {
    if (link.id === found.opened) return gapOhm;
    const own = this.#faults.filter((fault) => fault.link === link.id);
    if (link.kind === 'switch') {
      const isWorked = down.has(link.id) || own.some(({ mode }) => mode === 'stuck');
      if (isWorked === (link.normally === 'closed')) return gapOhm;
    }
    return own.reduce((ohm, fault) => ohm + addedOhm(fault, found), this.#ohm.get(link.id)!);
  }
}

/** Ohms that a fault puts in series with its link. */
function addedOhm({ mode, ohm, brokenOhm }: DeviceFault, { level, isLooseOpen }: Found): number {
  switch (mode) {
    case 'open':
      return gapOhm;
    case 'high':
      return ohm ?? 100;
    case 'weak':
      return ohm ?? 3;
    case 'film':
      return level === 'dry' ? (ohm ?? 20e3) : Math.min(ohm ?? 20e3, brokenOhm ?? 20);
    case 'intermittent':
      return isLooseOpen === true ? gapOhm : 0;
    default:
      return 0;
  }
}

function keysDown(guide: Guide, pressed: readonly string[]): Set<string> {
  const links = new Set<string>();
  const visit = (id: string, seen: readonly string[]): void => {
    const key = guide.keys.find((one) => one.id === id);
    if (key === undefined || seen.includes(id)) return;
    links.add(key.link);
    for (const other of key.with) visit(other, [...seen, id]);
  };
  for (const id of pressed) visit(id, []);
  return links;
}

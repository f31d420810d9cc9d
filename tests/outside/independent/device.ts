import type { LinkKind } from '../../../src/guide/circuit/link-kinds.ts';
import type { Fault, Guide, Level, Link } from '../../../src/guide/types.ts';
import { type Branch, portOf } from '../dense-network.ts';
import type { Stated } from './stated-model.ts';

/** What is other than the guide says. */
export interface Device {
  fault?: Fault;
  /** A resistance that the guide has not. */
  joint?: { a: string; b: string; ohm: number };
  rail?: { id: string; factor: number };
  values?: { of: readonly LinkKind[]; factor: number };
  /** Ohms between a pad and what touches it. */
  covered?: { pad: string; ohm: number };
  /** One link's ohms times a factor: for derivatives. */
  nudged?: { link: string; factor: number };
  /** A link taken out. */
  without?: string;
}

/** One number that a check sees, and how the check finds the device. */
export interface Sight {
  check: string;
  quantity: 'ohm' | 'volt';
  level: Level;
  power: 'on' | 'off';
  pressed: readonly string[];
  access: string | undefined;
  between: [string, string | null];
  closure: [string, string] | null;
  /** The probe's own resistance lies across the pads. */
  isLoaded: boolean;
}

export const openOhm = 1e9;
const leastOhm = 1e-6;
/** 800 Mohm beside 10 Mohm. */
const meterOhm = 1 / (1 / 800e6 + 1 / 10e6);

/** Returns what a sight reads: ohms, or volts divided by the probe's own resistance. */
export function readingOf(guide: Guide, stated: Stated, sight: Sight, device: Device): number {
  const { volt, ohm } = solved(guide, stated, sight, device);
  return sight.quantity === 'ohm' ? ohm : sight.isLoaded ? (volt * meterOhm) / (meterOhm + ohm) : volt;
}

/** Returns the same without the probe's own resistance. */
export function unloadedOf(guide: Guide, stated: Stated, sight: Sight, device: Device): number {
  const { volt, ohm } = solved(guide, stated, sight, device);
  return sight.quantity === 'ohm' ? ohm : volt;
}

/** Returns whether a link is the only way between its ends, as the check finds the device. */
export function isOnlyWay(guide: Guide, stated: Stated, sight: Sight, { id, from, to }: Link): boolean {
  const { branches, sources } = network(guide, stated, sight, { without: id });
  return portOf(branches, sources, guide.ground, from, to).ohm === Number.POSITIVE_INFINITY;
}

/** Returns whether a link conducts on a healthy device, as the check finds it. */
export function conducts(guide: Guide, sight: Sight, link: Link): boolean {
  return linkOhm(guide, sight, link, {}) < openOhm;
}

const known = new WeakMap<Guide, Map<string, { volt: number; ohm: number }>>();

/** Solved once for each question. */
function solved(guide: Guide, stated: Stated, sight: Sight, device: Device): { volt: number; ohm: number } {
  const answers = known.get(guide) ?? new Map<string, { volt: number; ohm: number }>();
  known.set(guide, answers);
  const key = JSON.stringify([stated.number('circuit.leakSiemens'), sight, device]);
  const answer = answers.get(key) ?? solve(guide, stated, sight, device);
  answers.set(key, answer);
  return answer;
}

function solve(guide: Guide, stated: Stated, sight: Sight, device: Device): { volt: number; ohm: number } {
  const { branches, sources } = network(guide, stated, sight, device);
  const [first, second] = sight.between.map((name) => nodeOf(guide, name)) as [string, string | null];
  // what hangs on nothing stands at 0 V, with leaks or without
  const { ground } = guide;
  const others = guide.nodes.filter((node) => node !== ground);
  const leakOhm =
    (stated.is('circuit.isLeakShared') ? Math.max(1, others.length) : 1) / stated.number('circuit.leakSiemens');
  const tied =
    sight.quantity === 'volt' && ground !== null
      ? others.filter((node) => portOf(branches, sources, ground, node, ground).ohm < openOhm)
      : [];
  const leaks = tied.map((node): Branch => ({ a: node, b: ground!, ohm: leakOhm }));
  const { volt, ohm } = portOf([...branches, ...leaks], sources, ground, first, second);
  const isTouched = sight.between[1] !== null && sight.between.includes(device.covered?.pad ?? null);
  return { volt, ohm: Math.min(openOhm, ohm + (isTouched ? (device.covered?.ohm ?? 0) : 0)) };
}

function network(guide: Guide, stated: Stated, sight: Sight, device: Device) {
  const branches = guide.links.flatMap((link): Branch[] => {
    const ohm = link.id === device.without ? openOhm : linkOhm(guide, sight, link, device);
    return ohm >= openOhm ? [] : [{ a: link.from, b: link.to, ohm: Math.max(leastOhm, ohm) }];
  });
  const { fault, joint } = device;
  if (fault?.mode === 'short') {
    branches.push({ a: guide.links.find(({ id }) => id === fault.link)!.from, b: fault.node!, ohm: fault.ohm! });
  }
  if (joint !== undefined) branches.push(joint);
  if (sight.closure !== null) {
    const [a, b] = sight.closure.map((pad) => nodeOf(guide, pad)!) as [string, string];
    const { covered } = device;
    const own = covered !== undefined && sight.closure.includes(covered.pad) ? covered.ohm : 0;
    if (a !== b) branches.push({ a, b, ohm: stated.number('circuit.closureOhm') + own });
  }
  const rails = sight.power === 'on' ? guide.rails : [];
  const sources = rails.map((rail) => ({
    ...rail,
    volt: rail.volt * (rail.id === device.rail?.id ? device.rail.factor : 1),
  }));
  return { branches, sources };
}

function nodeOf(guide: Guide, name: string | null): string | null {
  return guide.pads.find(({ id }) => id === name)?.node ?? name;
}

function linkOhm(guide: Guide, sight: Sight, link: Link, { fault, values, nudged }: Device): number {
  if (guide.access.find(({ id }) => id === sight.access)?.parts.includes(link.id)) return openOhm;
  const own = fault?.link === link.id ? fault : null;
  const factor = (values?.of.includes(link.kind) ? values.factor : 1) * (nudged?.link === link.id ? nudged.factor : 1);
  const isDown = guide.keys.some((key) => key.link === link.id && isPressed(guide, key.id, sight.pressed));
  const isClosed =
    link.kind !== 'switch' ||
    own?.mode === 'welded' ||
    (isDown || own?.mode === 'stuck') !== (link.normally === 'closed');
  const ohm = isClosed ? link.ohm * factor : openOhm;
  switch (own?.mode) {
    case 'open':
      return openOhm;
    case 'high':
    case 'film':
    case 'weak':
      return Math.min(openOhm, ohm + own.ohm!);
    case 'leaky':
      return isClosed ? 1 / (1 / ohm + 1 / own.ohm!) : own.ohm!;
    default:
      return ohm;
  }
}

/** A key is down when it is pressed, or when one is that takes it along. */
function isPressed(guide: Guide, key: string, pressed: readonly string[], seen: readonly string[] = []): boolean {
  if (pressed.includes(key)) return true;
  return guide.keys.some(
    ({ id, with: others }) =>
      !seen.includes(id) && others.includes(key) && isPressed(guide, id, pressed, [...seen, key]),
  );
}

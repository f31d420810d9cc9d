import type { Random } from '../../../sim/random.ts';
import type { Guide, Link } from '../../../src/guide/types.ts';
import { decisionOfLink } from './decisions.ts';
import { underLacquer } from './paper-device.ts';
import { drawnLog, isSeen, type Specimen } from './specimen.ts';

/** Something that is wrong with a device and that its guide does not hold. */
interface Strangeness {
  device: Guide;
  /** Nodes at which it is; empty: no part is to blame. */
  at: readonly string[];
  what: string;
}

/** Returns null where the guide has no such place. */
type Kind = (guide: Guide, random: Random) => Strangeness | null;

/** Faults that a guide does not hold, each as likely as the other: a list of our own (common practice, no source). */
const kinds: readonly Kind[] = [
  (guide, random) => bridged(guide, random, false, drawnLog(0.05, 30, random), 'short'),
  (guide, random) => bridged(guide, random, true, drawnLog(0.05, 30, random), 'short'),
  (guide, random) => bridged(guide, random, random.uniform() < 0.5, drawnLog(1e3, 3e6, random), 'leak'),
  deadInput,
  railOffValue,
  softRail,
  otherRevision,
  swappedLines,
  lacqueredPad,
];

/** Returns a device with something wrong that its guide does not hold, of those that some check sees. */
export function strange(guide: Guide, random: Random): Specimen {
  for (let tries = 0; tries < 10_000; tries++) {
    const made = pick(kinds, random)(guide, random);
    if (made === null || !isSeen(made.device, [])) continue;
    const right = guide.links
      .filter(({ from, to }) => made.at.includes(from) || made.at.includes(to))
      .map((link) => decisionOfLink(guide, link));
    return { guide, device: made.device, faults: [], right: [...new Set(right)], what: made.what };
  }
  throw new Error(`guide '${guide.id}' shows nothing that it doesn't hold`);
}

/** Two nodes joined, of one part or of two. A pair that the guide declares is passed over. */
function bridged(guide: Guide, random: Random, isWithinPart: boolean, ohm: number, word: string): Strangeness | null {
  const [a, b] = [pick(guide.nodes, random), pick(guide.nodes, random)];
  const isDeclared = guide.links.some(
    ({ from, to, near }) =>
      (from === a && near.includes(b)) ||
      (from === b && near.includes(a)) ||
      (from === a && to === b) ||
      (from === b && to === a),
  );
  if (a === b || isDeclared || isOnOnePart(guide, a, b) !== isWithinPart) return null;
  const link: Link = {
    id: 'strange',
    from: a,
    to: b,
    kind: 'trace',
    ohm,
    spread: 0,
    normally: 'closed',
    unit: guide.units[0]!.id,
    weights: {},
    near: [],
  };
  return {
    device: { ...guide, links: [...guide.links, link] },
    at: [a, b],
    what: `${word} ${a} ${b} ${ohm.toPrecision(3)} ohm`,
  };
}

function isOnOnePart(guide: Guide, a: string, b: string): boolean {
  const units = (node: string): string[] =>
    guide.links.flatMap(({ from, to, unit }) => (unit !== null && (from === node || to === node) ? [unit] : []));
  return units(a).some((unit) => units(b).includes(unit));
}

function deadInput(guide: Guide, random: Random): Strangeness | null {
  if (guide.inputs.length === 0) return null;
  const dead = pick(guide.inputs, random);
  const inputs = guide.inputs.map((input) => (input === dead ? { ...input, belowVolt: -1 } : input));
  return { device: { ...guide, inputs }, at: [dead.node], what: `input ${dead.id} dead` };
}

function railOffValue(guide: Guide, random: Random): Strangeness | null {
  if (guide.rails.length === 0) return null;
  const off = pick(guide.rails, random);
  const factor = random.uniform() < 0.7 ? 0.5 + 0.43 * random.uniform() : 1.07 + 0.2 * random.uniform();
  const rails = guide.rails.map((rail) => (rail === off ? { ...rail, volt: rail.volt * factor } : rail));
  return { device: { ...guide, rails }, at: [off.node], what: `rail ${off.id} at ${factor.toFixed(2)} of its voltage` };
}

function softRail(guide: Guide, random: Random): Strangeness | null {
  if (guide.rails.length === 0) return null;
  const soft = pick(guide.rails, random);
  const ohm = drawnLog(30, 5000, random);
  const rails = guide.rails.map((rail) => (rail === soft ? { ...rail, ohm } : rail));
  return { device: { ...guide, rails }, at: [soft.node], what: `rail ${soft.id} behind ${ohm.toFixed(0)} ohm` };
}

/** Another revision: parts of other values, none of them faulty. */
function otherRevision(guide: Guide, random: Random): Strangeness | null {
  const links = guide.links.map((link) => {
    if (link.kind === 'resistor')
      return random.uniform() < 0.5 ? link : { ...link, ohm: link.ohm * drawnLog(0.1, 10, random) };
    return link.kind === 'trace' || link.kind === 'flex' ? { ...link, ohm: link.ohm * drawnLog(0.7, 8, random) } : link;
  });
  return { device: { ...guide, links }, at: [], what: "another revision's values" };
}

/** Two links of one kind cross over. */
function swappedLines(guide: Guide, random: Random): Strangeness | null {
  const one = pick(guide.links, random);
  const others = guide.links.filter(
    (link) => link.kind === one.kind && link !== one && link.to !== one.to && link.unit === one.unit,
  );
  if (others.length === 0 || (one.kind !== 'flex' && one.kind !== 'connector' && one.kind !== 'trace')) return null;
  const other = pick(others, random);
  const links = guide.links.map((link) => {
    if (link === one) return { ...link, to: other.to };
    return link === other ? { ...link, to: one.to } : link;
  });
  return {
    device: { ...guide, links },
    at: [one.from, one.to, other.from, other.to],
    what: `${one.id} and ${other.id} cross`,
  };
}

/** A pad that the tip doesn't get through to, of a device without a fault. */
function lacqueredPad(guide: Guide, random: Random): Strangeness | null {
  const pad = pick(guide.pads, random);
  const unit = guide.links.find(({ from, to }) => from === pad.node || to === pad.node)?.unit ?? guide.units[0]!.id;
  const node = underLacquer(pad.id);
  const lacquer: Link = {
    id: 'strange',
    from: node,
    to: pad.node,
    kind: 'trace',
    ohm: drawnLog(50, 1e9, random),
    spread: 0,
    normally: 'closed',
    unit,
    weights: {},
    near: [],
  };
  const pads = guide.pads.map((one) => (one === pad ? { ...one, node } : one));
  const device = { ...guide, pads, nodes: [...guide.nodes, node], links: [...guide.links, lacquer] };
  return { device, at: [], what: `lacquer on pad ${pad.id}, ${lacquer.ohm.toPrecision(2)} ohm` };
}

function pick<T>(from: readonly T[], random: Random): T {
  return from[random.integer(0, from.length - 1)]!;
}

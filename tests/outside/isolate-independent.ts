// The posterior a second time, from the text of the model alone: every suspect and every cell of its ohms, the circuit solved anew for each by plain
// Gaussian elimination, densities by quadrature, products and sums in plain numbers. Nothing of src/isolate is used in it.
import type { Evidence, Measured } from '../../src/checks/evidence.ts';
import { faultWeight } from '../../src/guide/circuit/link-kinds.ts';
import type { Check, Fault, FaultMode, Guide, Level, Limits, Link } from '../../src/guide/types.ts';
import { type Branch, portOf } from './dense-network.ts';

/** Ohms of one end of a cell, by level. */
type Ohms = Record<Level, number>;

interface Cell {
  low: Ohms;
  high: Ohms;
  weight: number;
}

/** What a check sees of one cell, on its scale: evenly spread from low to high, blurred by sigma. */
interface Seen {
  low: number;
  high: number;
  sigma: number;
  unsteady: number;
  /** Where it stands in its bad moments; null: it has none. */
  bad: number | null;
}

type Quantity = 'ohm' | 'volt';
type View = { quantity: Quantity; check: Check & { pads: [string, string] }; level: Level; limits: Limits | null };

const openOhm = 1e9;
const leakOhm = 1e9;
const meterOhm = 1 / (1 / 800e6 + 1 / 10e6);
const modes: readonly FaultMode[] = ['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck'];

/** Returns the probability of each suspect, single faults only, after some evidence; by suspect id. */
export function posteriorOf(guide: Guide, evidence: readonly Evidence[]): Map<string, number> {
  const suspects = suspectsOf(guide);
  const masses = new Map<string, number>();
  for (const { id, fault, prior } of suspects) {
    const mass = cellsOf(guide, fault).reduce((sum, cell) => {
      const product = evidence.reduce((all, one) => all * likelihoodOf(guide, one, fault, cell), 1);
      return sum + cell.weight * product;
    }, 0);
    masses.set(id, prior * mass);
  }
  const total = [...masses.values()].reduce((sum, mass) => sum + mass, 0);
  return new Map([...masses].map(([id, mass]) => [id, mass / total]));
}

function suspectsOf(guide: Guide): { id: string; fault: Fault | null; prior: number }[] {
  const all = guide.links.flatMap((link) =>
    modes.flatMap((mode) => {
      const weight = faultWeight(link, mode);
      if (!(weight > 0)) return [];
      if (mode !== 'short')
        return [{ id: `${link.id}=${mode}`, fault: { link: link.id, mode } as Fault, prior: weight }];
      const ends = [...new Set(link.near)].filter((node) => node !== link.from);
      return ends.map((node) => ({
        id: `${link.id}=short:${node}`,
        fault: { link: link.id, mode, node } as Fault,
        prior: weight / ends.length,
      }));
    }),
  );
  const total = all.reduce((sum, { prior }) => sum + prior, 0);
  return [
    { id: 'none', fault: null, prior: total > 0 ? guide.healthy : 1 },
    ...all.map((one) => ({ ...one, prior: ((1 - guide.healthy) * one.prior) / total })),
  ];
}

/** Cells of a fault's ohms: even in the logarithm, and as likely as each other, but for films. */
function cellsOf(guide: Guide, fault: Fault | null): Cell[] {
  const link = guide.links.find(({ id }) => id === fault?.link);
  const both = (ohm: number): Ohms => ({ normal: ohm, dry: ohm });
  const cut = (low: number, high: number, count: number): [number, number][] =>
    Array.from({ length: count }, (_, k) => [
      low * (high / low) ** (k / count),
      low * (high / low) ** ((k + 1) / count),
    ]);
  const even = (spans: [number, number][]): Cell[] =>
    spans.map(([low, high]) => ({ low: both(low), high: both(high), weight: 1 / spans.length }));
  switch (fault?.mode) {
    case 'high': {
      const low = Math.max(0.5, link!.ohm / 2);
      return even(cut(low, Math.max(1e5, 20 * low), 7));
    }
    case 'weak':
      return even(cut(0.5, 30, 4));
    case 'short':
      return even([[0.02, 2]]);
    case 'film':
      // nine in ten break down at the normal level, to 5..80 ohm
      return cut(100, 1e6, 5).flatMap(([low, high]): Cell[] => [
        { low: { normal: 5, dry: low }, high: { normal: Math.min(high, 80), dry: high }, weight: 0.9 / 5 },
        { low: both(low), high: both(high), weight: 0.1 / 5 },
      ]);
    default:
      return [{ low: both(0), high: both(0), weight: 1 }];
  }
}

function likelihoodOf(guide: Guide, evidence: Evidence, fault: Fault | null, cell: Cell): number {
  const check = guide.checks.find(({ id }) => id === evidence.check)!;
  const mixed = (right: number, chance: number): number => (1 - guide.wrongPad) * right + guide.wrongPad * chance;
  switch (evidence.kind) {
    case 'resistance':
    case 'voltage': {
      const quantity = evidence.kind === 'voltage' ? 'volt' : 'ohm';
      const level = check.kind === 'resistance' ? check.level : 'normal';
      const seen = seenBy(guide, viewOf(check, quantity, level), fault, cell);
      const p = Math.min(0.99, 0.03 + 0.97 * seen.unsteady);
      const reading = evidence.reading!;
      const right = evidence.unsteady
        ? p * withBad(quantity, seen, reading, 0.5, quantity === 'ohm' ? 0.7 : 0.1)
        : (1 - p) * withBad(quantity, seen, reading, 0.15, 0);
      return mixed(right, (evidence.unsteady ? 0.1 : 0.9) * chanceOf(quantity, reading));
    }
    case 'dry-normal': {
      const [normal, dry] = (['normal', 'dry'] as const).map((level) =>
        seenBy(guide, viewOf(check, 'ohm', level), fault, cell),
      );
      const first = withBad('ohm', normal!, evidence.normal, 0.15, 0);
      const isSame = Math.abs(normal!.low - dry!.low) < 1e-6 && Math.abs(normal!.high - dry!.high) < 1e-6;
      const second = isSame ? sameTouch(evidence.dry, evidence.normal) : densityOf('ohm', dry!, evidence.dry, 0);
      return mixed(first * second, chanceOf('ohm', evidence.normal) * (evidence.dry.state === 'in-range' ? 0.5 : 0.3));
    }
    case 'look': {
      if (check.kind !== 'look' || evidence.answer === 'unsure') return 1;
      const isThere = check.sees.some(({ link, mode }) => link === fault?.link && mode === fault.mode);
      const failing = isThere ? 1 - guide.eyes.miss : guide.eyes.falseAlarm;
      return evidence.answer === check.passAnswer ? 1 - failing : failing;
    }
    default:
      throw new Error(`${evidence.kind} is not reckoned here`);
  }
}

function viewOf(check: Check, quantity: Quantity, level: Level): View {
  if (check.pads === undefined || !('limits' in check)) throw new Error(`check '${check.id}' reads nothing`);
  return { quantity, check: check as View['check'], level, limits: check.limits };
}

/** Two levels at one touch of a path that no level changes: what parts them is their own uncertainty. */
function sameTouch(dry: Measured, normal: Measured): number {
  const width = Math.hypot(0.03, ownSigma('ohm', dry), ownSigma('ohm', normal));
  const z = (scaleOf('ohm', dry.value) - scaleOf('ohm', normal.value)) / width;
  if (normal.state === 'above-range') return dry.state === 'above-range' ? 1 : phi(z);
  return dry.state === 'above-range' ? phi(-z) : bell(z) / width;
}

function withBad(quantity: Quantity, seen: Seen, reading: Measured, share: number, extra: number): number {
  const usual = densityOf(quantity, seen, reading, extra);
  if (seen.bad === null) return usual;
  const bad = densityOf(quantity, { ...seen, low: seen.bad, high: seen.bad }, reading, extra);
  return (1 - share) * usual + share * bad;
}

const ownSigma = (quantity: Quantity, { value, u }: Measured): number =>
  quantity === 'volt' ? u : u / (Math.max(0, value) + 0.005);

const scaleOf = (quantity: Quantity, value: number): number =>
  quantity === 'volt' ? value : Math.log(Math.max(-0.0025, Math.min(openOhm, value)) + 0.005);

const chanceOf = (quantity: Quantity, { state }: Measured): number => {
  if (state === 'above-range') return quantity === 'ohm' ? 0.3 : 0.01;
  return quantity === 'ohm' ? 0.7 / Math.log(1e10) : 1 / 7;
};

/** Density of a reading, or the mass beyond the range, by quadrature over the cell. */
function densityOf(quantity: Quantity, { low, high, sigma }: Seen, reading: Measured, extra: number): number {
  const y = scaleOf(quantity, reading.value);
  if (reading.state === 'above-range') return average(low, high, sigma, y, (x) => 1 - phi((y - x) / sigma));
  const width = Math.hypot(sigma, ownSigma(quantity, reading), extra);
  return average(low, high, width, y, (x) => bell((y - x) / width) / width);
}

/** Simpson's rule with steps far below sigma, finer about y. */
function average(low: number, high: number, sigma: number, y: number, of: (x: number) => number): number {
  const width = high - low;
  if (width < 1e-3 * sigma) return of(low);
  const edges = [low, y - 8 * sigma, y + 8 * sigma, high].filter((x) => x >= low && x <= high).sort((a, b) => a - b);
  let sum = 0;
  for (let k = 1; k < edges.length; k++) {
    const [from, to] = [edges[k - 1]!, edges[k]!];
    const steps = 2 * Math.max(20, Math.ceil((4 * Math.min(to - from, 20 * sigma)) / sigma));
    const h = (to - from) / steps;
    for (let i = 0; i <= steps; i++)
      sum += (h / 3) * (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * of(from + i * h);
  }
  return sum / width;
}

const bell = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** Normal distribution function by the series and the continued fraction (Abramowitz and Stegun 26.2.10 and 26.2.14). */
function phi(z: number): number {
  if (z < 0) return 1 - phi(-z);
  if (z > 38) return 1;
  if (z < 3) {
    let [term, sum] = [z, z];
    for (let k = 1; k < 80; k++) {
      term *= (z * z) / (2 * k + 1);
      sum += term;
    }
    return 0.5 + bell(z) * sum;
  }
  let fraction = z;
  for (let k = 60; k > 0; k--) fraction = z + k / fraction;
  return 1 - bell(z) / fraction;
}

/** What a check sees of a fault in one of its cells. */
function seenBy(guide: Guide, view: View, fault: Fault | null, cell: Cell): Seen {
  const { quantity, level } = view;
  const healthyValue = readValue(guide, view, null);
  const y = scaleOf(quantity, healthyValue);
  const healthy: Seen = {
    low: y,
    high: y,
    sigma: sigmaOf(guide, view, healthyValue, healthyValue, null),
    unsteady: 0,
    bad: null,
  };
  if (fault === null) return healthy;
  const value = (ohm: number): number => readValue(guide, view, { ...fault, ohm });
  const moved = (a: number, b: number): number => Math.abs(scaleOf(quantity, a) - scaleOf(quantity, b));
  const noticed = (a: number, b: number): number =>
    Math.min(1, moved(a, b) / (quantity === 'ohm' ? 0.05 : 0.02 * Math.max(0.2, Math.abs(healthyValue))));
  if (fault.mode === 'intermittent') {
    const opened = readValue(guide, view, { ...fault, mode: 'open' });
    const unsteady = 0.8 * noticed(opened, healthyValue);
    if (moved(opened, healthyValue) < 3e-4 || unsteady <= 1e-3) return healthy;
    return { ...healthy, unsteady, bad: scaleOf(quantity, opened) };
  }
  const [atLow, atHigh] = [value(cell.low[level]), value(cell.high[level])];
  const middle = Math.sqrt(cell.low[level] * cell.high[level]);
  const chance = fault.mode === 'weak' ? 0.5 : fault.mode === 'film' ? 0.1 : 0;
  const unsteady = chance === 0 ? 0 : chance * noticed(value(1.3 * middle), value(middle));
  const ends = [scaleOf(quantity, atLow), scaleOf(quantity, atHigh)].sort((a, b) => a - b) as [number, number];
  const sd = spreadAfter(guide, view, healthyValue, atLow, { ...fault, ohm: cell.low[level] });
  const sigma = Math.max(...[atLow, atHigh].map((one) => sigmaOf(guide, view, one, healthyValue, sd)));
  return {
    low: ends[0],
    high: ends[1],
    sigma: Math.hypot(sigma, (quantity === 'ohm' ? 0.3 : 0.02) * unsteady),
    unsteady,
    bad: null,
  };
}

/** Width of a prediction: 3 % or what the links' spreads make; of volts 10 mV, the rails' tolerance, spreads, and 3 % of a fault's effect. */
function sigmaOf(guide: Guide, view: View, value: number, healthy: number, sd: number | null): number {
  const spread = sd ?? spreadOf(guide, view, null, -1);
  if (view.quantity === 'ohm') return value >= openOhm ? 0.03 : Math.hypot(0.03, Math.min(1, spread / (value + 0.005)));
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = view.limits ?? {};
  const room = Math.min(healthy - min, max - healthy) / 2.5 / Math.max(1e-6, Math.abs(healthy));
  const tolerance = Number.isFinite(room) ? Math.min(0.06, Math.max(0.005, room)) : 0.02;
  return Math.hypot(0.01, tolerance * value, spread, 0.03 * (value - healthy));
}

/** Where a fault leaves a way round, the spread is that of the changed circuit at the cell's low end; else the healthy one. */
function spreadAfter(guide: Guide, view: View, healthy: number, value: number, fault: Fault): number {
  const isMoved = Math.abs(scaleOf('ohm', value) - scaleOf('ohm', healthy)) >= 0.05;
  const k = guide.links.findIndex(({ id }) => id === fault.link);
  const isOwn =
    fault.mode !== 'short' && !(fault.mode === 'stuck' && linkOhm(guide, guide.links[k]!, view, null) >= openOhm);
  if (view.quantity === 'volt' || value >= openOhm || !isMoved || (isOwn && isOnlyWay(guide, view, k))) {
    return healthy >= openOhm && view.quantity === 'ohm' ? 0 : spreadOf(guide, view, null, -1);
  }
  return spreadOf(guide, view, fault, isOwn ? k : -1);
}

const spreads = new WeakMap<Guide, Map<string, number>>();

/** Standard deviation that the links' spreads make, each moved a little by itself; of the healthy device once for each check. */
function spreadOf(guide: Guide, view: View, fault: Fault | null, but: number): number {
  const answers = spreads.get(guide) ?? new Map<string, number>();
  spreads.set(guide, answers);
  const key = JSON.stringify([view.check.id, view.quantity, fault, but]);
  const answer = answers.get(key) ?? movedSpread(guide, view, fault, but);
  answers.set(key, answer);
  return answer;
}

function movedSpread(guide: Guide, view: View, fault: Fault | null, but: number): number {
  const value = (k: number, factor: number): number =>
    plainValue(
      { ...guide, links: guide.links.map((link, i) => (i === k ? { ...link, ohm: link.ohm * factor } : link)) },
      view,
      fault,
    );
  if (view.quantity === 'ohm' && plainValue(guide, view, fault) >= openOhm) return 0;
  const h = 1e-4;
  const parts = guide.links.map(({ spread }, k) =>
    k === but || spread === 0 ? 0 : (spread * (value(k, 1 + h) - value(k, 1 - h))) / (2 * h),
  );
  return Math.hypot(...parts);
}

function isOnlyWay(guide: Guide, view: View, k: number): boolean {
  const { from, to } = guide.links[k]!;
  const rest = branchesOf(guide, view, null, k);
  return portOf(rest.branches, rest.sources, guide.ground, from, to).ohm === Number.POSITIVE_INFINITY;
}

/** Ohms, or volts as the probe reads them with its own resistance. */
function readValue(guide: Guide, view: View, fault: Fault | null): number {
  const { volt, ohm } = shown(guide, view, fault);
  return view.quantity === 'ohm' ? ohm : (volt * meterOhm) / (meterOhm + ohm);
}

/** The same before the probe's own resistance. */
function plainValue(guide: Guide, view: View, fault: Fault | null): number {
  const { volt, ohm } = shown(guide, view, fault);
  return view.quantity === 'ohm' ? ohm : volt;
}

const known = new WeakMap<Guide, Map<string, { volt: number; ohm: number }>>();

/** Solved once for each question. */
function shown(guide: Guide, view: View, fault: Fault | null): { volt: number; ohm: number } {
  const answers = known.get(guide) ?? new Map<string, { volt: number; ohm: number }>();
  known.set(guide, answers);
  const key = JSON.stringify([view.check.id, view.quantity, fault]);
  const answer = answers.get(key) ?? solved(guide, view, fault);
  answers.set(key, answer);
  return answer;
}

function solved(guide: Guide, view: View, fault: Fault | null): { volt: number; ohm: number } {
  const [a, b] = view.check.pads;
  const { branches, sources } = branchesOf(guide, view, fault, -1);
  const isLeaking = view.quantity === 'volt' && guide.ground !== null;
  // what hangs on nothing stands at 0 V with leaks or without
  const tied = guide.nodes.filter(
    (node) => isLeaking && portOf(branches, sources, guide.ground, node, guide.ground).ohm < openOhm,
  );
  const leaks = tied
    .filter((node) => node !== guide.ground)
    .map((node) => ({ a: node, b: guide.ground!, ohm: leakOhm }));
  const { volt, ohm } = portOf([...branches, ...leaks], sources, guide.ground, a, b);
  return { volt, ohm: Math.min(openOhm, ohm) };
}

function branchesOf(guide: Guide, view: View, fault: Fault | null, but: number) {
  const branches = guide.links.flatMap((link, k): Branch[] => {
    const ohm = k === but ? openOhm : linkOhm(guide, link, view, fault);
    return ohm >= openOhm ? [] : [{ a: link.from, b: link.to, ohm: Math.max(1e-6, ohm) }];
  });
  if (fault?.mode === 'short') {
    branches.push({ a: guide.links.find(({ id }) => id === fault.link)!.from, b: fault.node!, ohm: fault.ohm! });
  }
  return { branches, sources: view.check.power === 'on' ? guide.rails : [] };
}

function linkOhm(guide: Guide, link: Link, { check }: View, fault: Fault | null): number {
  const own = fault?.link === link.id ? fault : null;
  const pressed = 'pressed' in check ? check.pressed : [];
  const isPressed = guide.keys.some((key) => key.link === link.id && pressed.includes(key.id));
  if (link.kind === 'switch' && (isPressed || own?.mode === 'stuck') === (link.normally === 'closed')) return openOhm;
  switch (own?.mode) {
    case 'open':
      return openOhm;
    case 'high':
    case 'film':
    case 'weak':
      return link.ohm + own.ohm!;
    default:
      return link.ohm;
  }
}

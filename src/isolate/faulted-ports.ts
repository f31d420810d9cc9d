import { leakSiemens } from '../guide/circuit.ts';
import { type Change, type CircuitVariant, transferOhm } from './circuit-variant.ts';

/** What a circuit shows at some pairs of nodes, with changes made to it: transfer resistances among the pairs, and their voltages. */
export interface PortView {
  /** Square, row by row: volt at pair i for an ampere through pair j. The diagonal is the resistance of a pair. */
  ohm: Float64Array;
  volt: Float64Array;
  size: number;
}

/** A change with the link that it belongs to. */
export interface LinkChange {
  change: Change;
  link: number;
}

/**
 * Returns what the pairs show with some changes made, at most a few, from the healthy factorisation alone.
 *
 * Each change is one rank-one update of the little matrix over the pairs and the changed elements (Sherman and Morrison, Annals of Mathematical
 * Statistics 21 (1950) 124-127): G' = G - d g g^T / (1 + d G_kk), V' = V - d g V_k / (1 + d G_kk). Where an opened link was the only way across, 1 + d G_kk
 * is what the leaks leave of it: it is taken from the sizes of the parted sides, not from a difference of nearly equal numbers.
 */
export function faultedPorts(
  variant: CircuitVariant,
  pairs: readonly (readonly [number, number])[],
  changes: readonly LinkChange[],
): PortView {
  const size = pairs.length + changes.length;
  const ports = [...pairs, ...changes.map(({ change }) => [change.a, change.b] as const)];
  const ohm = new Float64Array(size * size);
  const volt = Float64Array.from(ports, ([a, b]) => variant.volt(a) - variant.volt(b));
  for (let i = 0; i < size; i++) {
    const isPair = i < pairs.length;
    if (!isPair && changes.length === 1) {
      const { change } = changes[0]!;
      ohm[i * size + i] = variant.ohmAcross(change.a, change.b);
      continue;
    }
    const port = isPair ? variant.port(...pairs[i]!) : variant.passing(...ports[i]!);
    for (let j = 0; j < size; j++) {
      const [a, b] = ports[j]!;
      const transfer = transferOhm(port, a, b, variant.ground);
      ohm[i * size + j] = transfer;
      ohm[j * size + i] = transfer;
    }
  }
  const view = { ohm, volt, size };
  changes.forEach(({ change, link }, c) => {
    const k = pairs.length + c;
    const left = c === 0 ? openedAlone(variant, view, ports, k, change, link) : openedThen(variant, changes, c);
    applyChange(view, k, change.siemens, left);
  });
  return view;
}

/**
 * Changes the conductance across one pair of a view, in place.
 *
 * @param left 1 + d G_kk where the caller knows it better than the difference tells; null: take the difference
 */
export function applyChange(view: PortView, k: number, siemens: number, left: number | null = null): void {
  const { ohm, volt, size } = view;
  const factor = siemens / (left ?? 1 + siemens * ohm[k * size + k]!);
  const column = Float64Array.from({ length: size }, (_, i) => ohm[i * size + k]!);
  const drop = volt[k]!;
  for (let i = 0; i < size; i++) {
    const share = factor * column[i]!;
    if (share === 0) continue;
    volt[i]! -= share * drop;
    for (let j = 0; j < size; j++) ohm[i * size + j]! -= share * column[j]!;
  }
}

/** For the opening of a cut edge: puts what connectivity knows into the view, and returns what the leaks leave; else null. */
function openedAlone(
  variant: CircuitVariant,
  view: PortView,
  ports: readonly (readonly [number, number])[],
  k: number,
  change: Change,
  link: number,
): number | null {
  if (change.opens === -1) return null;
  const far = variant.farSide(link);
  if (far === null) return null;
  const { island, islandSize } = variant.cuts;
  const here = island[change.a]!;
  const whole = islandSize[here]!;
  const hasGround = island[variant.ground] === here;
  const isParted = (node: number): boolean => far.has(node) !== far.has(variant.ground);
  const linkOhm = -1 / change.siemens;
  ports.forEach(([a, b], i) => {
    if (island[a] !== here || island[b] !== here) return;
    const transfer = linkOhm * (Number(far.has(a)) - Number(far.has(b))) * (far.has(change.a) ? 1 : -1);
    view.ohm[i * view.size + k] = transfer;
    view.ohm[k * view.size + i] = transfer;
  });
  if (hasGround) {
    // a side that nothing reaches stands at 0, and no current went across before
    const volt = (node: number): number => (island[node] === here && isParted(node) ? 0 : variant.volt(node));
    ports.forEach(([a, b], i) => {
      view.volt[i] = volt(a) - volt(b);
    });
    view.volt[k] = 0;
  }
  const sizes = hasGround
    ? far.has(variant.ground)
      ? whole - far.size
      : far.size
    : (far.size * (whole - far.size)) / whole;
  const leak = leakSiemens * sizes;
  return leak / (leak - change.siemens);
}

/** For an opening after other changes: what the leaks leave when it parts its ends; else null. */
function openedThen(variant: CircuitVariant, changes: readonly LinkChange[], c: number): number | null {
  const { change } = changes[c]!;
  if (change.opens === -1 || !variant.mayPart(changes.slice(0, c + 1).map((one) => one.change))) return null;
  const until = changes.slice(0, c + 1).map((one) => one.change);
  if (variant.areJoined(change.a, change.b, until)) return null;
  return leakSiemens / (leakSiemens - change.siemens);
}

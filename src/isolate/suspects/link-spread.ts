import { leastOhm } from '../../guide/circuit/assembly.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import { isContact } from '../../guide/circuit/link-kinds.ts';
import type { CircuitVariant, Port } from '../predict/circuit-variant.ts';

/** Returns the voltage over each link that a port's ampere makes, in volt. */
export function acrossLinks({ linkFrom, linkTo, ground }: CircuitVariant, { volts }: Port): Float64Array {
  const across = new Float64Array(linkFrom.length);
  for (let k = 0; k < across.length; k++) {
    const [from, to] = [linkFrom[k]!, linkTo[k]!];
    across[k] = (from < ground ? volts[from]! : 0) - (to < ground ? volts[to]! : 0);
  }
  return across;
}

const weights = new WeakMap<CircuitVariant, Float64Array>();

/** Returns (spread / ohm)^2 of each link that conducts, 0 of the others. */
export function spreadWeights(variant: CircuitVariant): Float64Array {
  const known = weights.get(variant) ?? weightsIn(variant);
  weights.set(variant, known);
  return known;
}

function weightsIn({ guide, linkOhms }: CircuitVariant): Float64Array {
  return linkOhms.map((ohm, k) => (ohm < openOhm ? (guide.links[k]!.spread / Math.max(leastOhm, ohm)) ** 2 : 0));
}

/**
 * Returns the standard deviation that the links' spreads make of a channel, in its unit: d R / d ln
 * r = x^2 / r with the voltage x over the link, for volts x v / r with the standing voltage v over
 * it.
 */
export function spreadOf(weights: Float64Array, across: Float64Array, drop: Float64Array): number {
  let squares = 0;
  for (let k = 0; k < weights.length; k++) squares += weights[k]! * (across[k]! * drop[k]!) ** 2;
  return Math.sqrt(squares);
}

/**
 * Returns how far a channel moves, in its unit for a step of ln r, when the ohms of all contacts of
 * each kind move together; kinds by themselves.
 */
export function commonMove(variant: CircuitVariant, across: Float64Array, drop: Float64Array): number {
  const { linkOhms } = variant;
  const groups = contacts.get(variant) ?? contactsIn(variant);
  contacts.set(variant, groups);
  const moves = groups.map((links) => {
    let move = 0;
    for (const k of links) move += (across[k]! * drop[k]!) / Math.max(leastOhm, linkOhms[k]!);
    return move;
  });
  return Math.hypot(...moves);
}

const contacts = new WeakMap<CircuitVariant, Int32Array[]>();

/** The contacts that conduct, kind by kind. */
function contactsIn({ guide, linkOhms }: CircuitVariant): Int32Array[] {
  const groups = new Map<string, number[]>();
  guide.links.forEach(({ kind }, k) => {
    if (isContact(kind) && linkOhms[k]! < openOhm) groups.set(kind, [...(groups.get(kind) ?? []), k]);
  });
  return [...groups.values()].map((links) => Int32Array.from(links));
}

/**
 * Returns the sums that the standard deviation of a resistance after a change is made of: the
 * change takes `factor` times the voltages `along` it off those over every link, and sum w (x - f
 * c)^4 is a polynomial in f.
 *
 * @param but a link that is left out: its own spread is nothing beside what the fault adds; -1:
 *   none
 */
export function spreadTerms(
  weights: Float64Array,
  across: Float64Array,
  along: Float64Array,
  but: number,
): Float64Array {
  const terms = new Float64Array(5);
  for (let k = 0; k < weights.length; k++) {
    const weight = weights[k]!;
    if (weight === 0 || k === but) continue;
    const [x, c] = [across[k]!, along[k]!];
    const [xx, xc, cc] = [x * x, x * c, c * c];
    terms[0]! += weight * xx * xx;
    terms[1]! -= 4 * weight * xx * xc;
    terms[2]! += 6 * weight * xc * xc;
    terms[3]! -= 4 * weight * xc * cc;
    terms[4]! += weight * cc * cc;
  }
  return terms;
}

/** Returns the standard deviation after a change, in ohm. */
export function spreadFrom([a, b, c, d, e]: Float64Array, factor: number): number {
  return Math.sqrt(Math.max(0, a! + factor * (b! + factor * (c! + factor * (d! + factor * e!)))));
}

import type { OutcomeRows } from '../belief/outcome-rows.ts';

/**
 * How the checks of a device answer, as the choice of the next one needs it: for each check and
 * each class of outcome the probability of that outcome under each suspect.
 */
export interface Outlook {
  /** Index of the decision that each suspect asks for. */
  decisionOf: Int32Array;
  decisions: number;
  checks: number;
  /** Returns how a check answers under each suspect. */
  outcomes(check: number): OutcomeRows;
}

/** Suspects less probable than this have no part in a choice. */
const leastShare = 1e-6;

/** Suspects that still count, with their probabilities, which sum to 1. */
export interface Weights {
  index: Int32Array;
  p: Float64Array;
}

/**
 * Returns the suspects that still count of a probability for each; normalised. `null` when none is
 * left.
 */
export function weightsOf(p: ArrayLike<number>): Weights | null {
  let total = 0;
  for (let s = 0; s < p.length; s++) total += p[s]!;
  if (!(total > 0)) return null;
  return counting(
    Int32Array.from(p, (_, s) => s),
    Float64Array.from(p),
    total,
  );
}

/** Returns -sum p log2 p, in bits; zeros count nothing. */
export function entropyBits(p: ArrayLike<number>): number {
  let bits = 0;
  for (let k = 0; k < p.length; k++) if (p[k]! > 0) bits -= p[k]! * Math.log2(p[k]!);
  return bits;
}

/** Returns the probability of each decision. */
export function decisionShares(outlook: Outlook, { index, p }: Weights): Float64Array {
  const shares = new Float64Array(outlook.decisions);
  for (let k = 0; k < index.length; k++) shares[outlook.decisionOf[index[k]!]!]! += p[k]!;
  return shares;
}

/**
 * Returns the mutual information between the outcome of a check and the decision, in bits: what the
 * check is expected to tell about what to do. I(D;O) = H(D) + H(O) - H(D,O); never below 0.
 */
export function informationBits(outlook: Outlook, check: number, { index, p }: Weights): number {
  const { rest, rowOf, p: rows } = outlook.outcomes(check);
  const classes = rest.length;
  const { decisionOf, decisions } = outlook;
  const joint = new Float64Array(decisions * classes);
  const unconcerned = new Float64Array(decisions);
  // this loop is where a choice spends its time
  for (let k = 0; k < index.length; k++) {
    const s = index[k]!;
    const row = rowOf[s]!;
    const d = decisionOf[s]!;
    if (row === -1) {
      unconcerned[d]! += p[k]!;
      continue;
    }
    for (let o = 0; o < classes; o++) joint[d * classes + o]! += p[k]! * rows[row * classes + o]!;
  }
  return jointBits(joint, unconcerned, rest);
}

/**
 * Returns the mutual information of a joint table of decisions and outcomes, in bits.
 *
 * @param joint of the suspects that make a difference to the check, decision by decision
 * @param unconcerned weight of the other suspects of each decision
 * @param rest how the check answers under those
 */
export function jointBits(joint: Float64Array, unconcerned: Float64Array, rest: Float64Array): number {
  const [decisions, classes] = [unconcerned.length, rest.length];
  const byOutcome = new Float64Array(classes);
  let bits = 0;
  for (let d = 0, at = 0; d < decisions; d++) {
    let share = 0;
    for (let o = 0; o < classes; o++, at++) {
      const both = joint[at]! + unconcerned[d]! * rest[o]!;
      if (!(both > 0)) continue;
      share += both;
      byOutcome[o]! += both;
      bits += both * Math.log2(both);
    }
    if (share > 0) bits -= share * Math.log2(share);
  }
  return Math.max(0, bits + entropyBits(byOutcome));
}

/**
 * Returns, for each class of outcome of a check, its probability and the suspects that count after
 * it (null where it can't happen).
 */
export function branches(
  outlook: Outlook,
  check: number,
  { index, p }: Weights,
): { p: number; after: Weights | null }[] {
  const { rest, rowOf, p: rows } = outlook.outcomes(check);
  return Array.from(rest, (ofRest, o) => {
    const joint = new Float64Array(index.length);
    let total = 0;
    for (let k = 0; k < index.length; k++) {
      const row = rowOf[index[k]!]!;
      joint[k] = p[k]! * (row === -1 ? ofRest : rows[row * rest.length + o]!);
      total += joint[k]!;
    }
    return { p: total, after: total > 0 ? counting(index, joint, total) : null };
  });
}

/** Returns the suspects that still count, normalised. */
function counting(index: Int32Array, p: Float64Array, total: number): Weights {
  let count = 0;
  let kept = 0;
  for (let k = 0; k < p.length; k++) {
    if (p[k]! <= leastShare * total) continue;
    count++;
    kept += p[k]!;
  }
  const weights = { index: new Int32Array(count), p: new Float64Array(count) };
  for (let k = 0, at = 0; k < p.length; k++) {
    if (p[k]! <= leastShare * total) continue;
    weights.index[at] = index[k]!;
    weights.p[at++] = p[k]! / kept;
  }
  return weights;
}

/**
 * How the checks of a device answer, as the choice of the next one needs it: for each check and each class of outcome the
 * probability of that outcome under each suspect.
 */
export interface Outlook {
  /** Index of the decision that each suspect asks for. */
  decisionOf: Int32Array;
  decisions: number;
  checks: number;
  /** Returns, for a check, one array per class of outcome: its probability under each suspect. Over the classes they sum to 1. */
  outcomes(check: number): readonly Float64Array[];
}

/** Suspects less probable than this have no part in a choice. */
const leastShare = 1e-6;

/** Suspects that still count, with their probabilities, which sum to 1. */
export interface Weights {
  index: Int32Array;
  p: Float64Array;
}

/** Returns the suspects that still count of a probability for each; normalised. `null` when none is left. */
export function weightsOf(p: ArrayLike<number>): Weights | null {
  let total = 0;
  for (let s = 0; s < p.length; s++) total += p[s]!;
  if (!(total > 0)) return null;
  const kept: number[] = [];
  for (let s = 0; s < p.length; s++) if (p[s]! / total > leastShare) kept.push(s);
  return normalised(
    Int32Array.from(kept),
    Float64Array.from(kept, (s) => p[s]!),
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
 * Returns the mutual information between the outcome of a check and the decision, in bits: what the check is expected to tell about what
 * to do. I(D;O) = H(D) + H(O) - H(D,O); never below 0.
 */
export function informationBits(outlook: Outlook, check: number, { index, p }: Weights): number {
  const outcomes = outlook.outcomes(check);
  const classes = outcomes.length;
  const joint = new Float64Array(outlook.decisions * classes);
  for (let o = 0; o < classes; o++) {
    const likelihood = outcomes[o]!;
    for (let k = 0; k < index.length; k++) {
      const s = index[k]!;
      joint[outlook.decisionOf[s]! * classes + o]! += p[k]! * likelihood[s]!;
    }
  }
  const byDecision = new Float64Array(outlook.decisions);
  const byOutcome = new Float64Array(classes);
  for (let d = 0, at = 0; d < outlook.decisions; d++) {
    for (let o = 0; o < classes; o++, at++) {
      byDecision[d]! += joint[at]!;
      byOutcome[o]! += joint[at]!;
    }
  }
  return Math.max(0, entropyBits(byDecision) + entropyBits(byOutcome) - entropyBits(joint));
}

/** Returns, for each class of outcome of a check, its probability and the suspects that count after it (null where it can't happen). */
export function branches(
  outlook: Outlook,
  check: number,
  { index, p }: Weights,
): { p: number; after: Weights | null }[] {
  return outlook.outcomes(check).map((likelihood) => {
    const joint = Float64Array.from(index, (s, k) => p[k]! * likelihood[s]!);
    const total = joint.reduce((sum, q) => sum + q, 0);
    return { p: total, after: total > 0 ? normalised(index, joint) : null };
  });
}

function normalised(index: Int32Array, p: Float64Array): Weights {
  const total = p.reduce((sum, q) => sum + q, 0);
  return { index, p: p.map((q) => q / total) };
}

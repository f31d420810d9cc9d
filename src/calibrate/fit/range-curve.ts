/** The three parameters of the measuring equation N = nOff + (nOpen - nOff) R / (R + rsOhm). */
export interface RangeCurve {
  nOff: number;
  nOpen: number;
  rsOhm: number;
}

/** A code with its partial derivatives by each parameter and by the resistance. */
export interface CodeWithPartials {
  code: number;
  byOff: number;
  byOpen: number;
  byRs: number;
  byOhm: number;
}

/**
 * Returns the code of a resistance in ohm (lead included; Infinity is an open) and how it changes
 * with every input.
 */
export function codeWithPartials(ohm: number, { nOff, nOpen, rsOhm }: RangeCurve): CodeWithPartials {
  const span = nOpen - nOff;
  if (ohm === Number.POSITIVE_INFINITY) return { code: nOpen, byOff: 0, byOpen: 1, byRs: 0, byOhm: 0 };
  const total = ohm + rsOhm;
  const share = ohm / total;
  return {
    code: nOff + span * share,
    byOff: rsOhm / total,
    byOpen: share,
    byRs: (-span * ohm) / (total * total),
    byOhm: (span * rsOhm) / (total * total),
  };
}

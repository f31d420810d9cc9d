/**
 * How probable each class of a check's outcome is under each suspect. Over the classes they sum to
 * 1.
 */
export interface OutcomeRows {
  /**
   * For each class its probability under every suspect that has no row of its own: one that makes
   * no difference to the check.
   */
  rest: Float64Array;
  /** For each suspect the number of its row; -1: it has none. */
  rowOf: Int32Array;
  /** The rows, class by class within a row. */
  p: Float64Array;
}

/** Returns the probability of a class under a suspect. */
export function outcomeChance({ rest, rowOf, p }: OutcomeRows, outcome: number, suspect: number): number {
  const row = rowOf[suspect]!;
  return row === -1 ? rest[outcome]! : p[row * rest.length + outcome]!;
}

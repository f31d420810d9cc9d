/** One figure beside its target. Ratios and counts only: what holds on one machine should hold on the next. */
export interface Figure {
  readonly what: string;
  readonly value: number;
  readonly sense: 'at least' | 'at most';
  readonly target: number;
}

/** What a benchmark measured in one run. */
export interface Measured {
  readonly figures: readonly Figure[];
  /** What was done while it measured, as counts: one that is not above zero makes the benchmark fail. */
  readonly work: Readonly<Record<string, number>>;
  /** What the figures were made of, with the unit in the name: for reading, never compared. */
  readonly numbers: Readonly<Record<string, number>>;
  /** Further lines to print, as a table of counts. */
  readonly lines?: readonly string[];
}

/** What each file of a benchmark exports. */
export interface Benchmark {
  /** Its name on the command line: that of its file. */
  readonly name: string;
  /** One sentence: what is measured against what. */
  readonly claim: string;
  measure(): Promise<Measured>;
}

/** Returns whether a figure reaches its target; one that is no number does not. */
export function isMet({ value, sense, target }: Figure): boolean {
  return sense === 'at least' ? value >= target : value <= target;
}

/** Returns which of the work did not happen; all of it is missing where nothing is counted. */
export function workMissing({ work }: Measured): string[] {
  const counts = Object.entries(work);
  if (counts.length === 0) return ['work'];
  return counts.filter(([, count]) => !(count > 0)).map(([what]) => what);
}

/** Returns the median of numbers; NaN of none. */
export function median(numbers: readonly number[]): number {
  return quantile(numbers, 0.5);
}

/** Returns the quantile of numbers at a share 0..1, interpolated between neighbours; NaN of none. */
export function quantile(numbers: readonly number[], share: number): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  if (sorted.length === 0) return Number.NaN;
  const at = share * (sorted.length - 1);
  const low = sorted[Math.floor(at)]!;
  const high = sorted[Math.ceil(at)]!;
  return low + (high - low) * (at - Math.floor(at));
}

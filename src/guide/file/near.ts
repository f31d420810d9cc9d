/**
 * Returns `, did you mean 'x'?` for the known name nearest to what was written, or the empty string
 * when none is near.
 *
 * Near: at most a third of the letters changed, added, left out or swapped with their neighbour,
 * case not counted.
 */
export function didYouMean(written: string, known: readonly string[]): string {
  let best: string | null = null;
  let bestDistance = Math.max(1, Math.floor(written.length / 3)) + 0.5;
  for (const name of known) {
    const distance = editDistance(written.toLowerCase(), name.toLowerCase());
    // a single letter is like every other one
    if (distance < bestDistance && (distance === 0 || distance < written.length)) {
      best = name;
      bestDistance = distance;
    }
  }
  return best === null ? '' : `, did you mean '${best}'?`;
}

/**
 * Returns the optimal string alignment distance: insertions, deletions, substitutions, swaps of
 * neighbours.
 */
function editDistance(a: string, b: string): number {
  if (Math.max(a.length, b.length) > 64) return Number.POSITIVE_INFINITY;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) least = Math.min(least, before[j - 2]! + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return last[b.length]!;
}

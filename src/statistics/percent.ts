/**
 * Returns a probability (0 to 1) in whole per cent: `37 %`. What is not certain never reads as
 * certain: `< 1 %` below one per cent, `> 99 %` above 99 per cent. Only 0 reads `0 %`, only 1 reads
 * `100 %`.
 */
export function percent(p: number): string {
  if (p > 0 && p < 0.01) return '< 1 %';
  if (p < 1 && p > 0.99) return '> 99 %';
  return `${Math.round(p * 100)} %`;
}

/** Returns a share that somebody chose (0 to 1) as it was chosen: `95 %`, `99.73 %`; rounded to so many digits. */
export function chosenShare(share: number, digits = 6): string {
  return `${Number((share * 100).toPrecision(digits))} %`;
}

/** Returns a share (0 to 1) as a lower bound, rounded down to a tenth of a per cent: `at least 86.0 %`. */
export function shareAtLeast(share: number): string {
  return `at least ${Math.floor(share * 1000) / 10} %`;
}

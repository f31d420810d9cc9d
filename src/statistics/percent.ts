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

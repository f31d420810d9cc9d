/**
 * Returns the probability of a fit's chi-square in two digits; its ends as bounds, so that what is not certain never
 * reads as certain.
 */
export function fitChance(probability: number): string {
  if (probability > 0.99) return '> 0.99';
  return probability < 0.001 ? '< 0.001' : probability.toPrecision(2);
}

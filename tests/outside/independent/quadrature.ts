/** What is seen of one part of a hypothesis, on its scale: evenly spread from low to high, blurred by a normal of width sigma. */
export interface Spread {
  low: number;
  high: number;
  sigma: number;
}

export const bell = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** Normal distribution function by the series and the continued fraction (Abramowitz and Stegun 26.2.10 and 26.2.14). */
export function phi(z: number): number {
  if (z < 0) return 1 - phi(-z);
  if (z > 38) return 1;
  if (z < 3) {
    let [term, sum] = [z, z];
    for (let k = 1; k < 80; k++) {
      term *= (z * z) / (2 * k + 1);
      sum += term;
    }
    return 0.5 + bell(z) * sum;
  }
  let fraction = z;
  for (let k = 60; k > 0; k--) fraction = z + k / fraction;
  return 1 - bell(z) / fraction;
}

/** Returns the density at y, by quadrature over the part. */
export function densityAt(y: number, { low, high, sigma }: Spread): number {
  return average(low, high, sigma, y, (x) => bell((y - x) / sigma) / sigma);
}

/** Returns the probability of lying below y, by quadrature over the part. */
export function massBelow(y: number, { low, high, sigma }: Spread): number {
  return average(low, high, sigma, y, (x) => phi((y - x) / sigma));
}

/** Simpson's rule with steps far below sigma, finer about y. */
function average(low: number, high: number, sigma: number, y: number, of: (x: number) => number): number {
  const width = high - low;
  if (width < 1e-3 * sigma) return of((low + high) / 2);
  const edges = [low, y - 8 * sigma, y + 8 * sigma, high].filter((x) => x >= low && x <= high).sort((a, b) => a - b);
  let sum = 0;
  for (let k = 1; k < edges.length; k++) {
    const [from, to] = [edges[k - 1]!, edges[k]!];
    const steps = 2 * Math.max(12, Math.ceil((3 * Math.min(to - from, 20 * sigma)) / sigma));
    const h = (to - from) / steps;
    for (let i = 0; i <= steps; i++)
      sum += (h / 3) * (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * of(from + i * h);
  }
  return sum / width;
}

import { Matrix, QrDecomposition } from 'ml-matrix';

/**
 * A weighted least-squares problem: residuals over their expected sizes, and how each changes with
 * each parameter.
 */
export interface LeastSquaresProblem {
  start: readonly number[];
  /** Ends the search at a step that is this share of every parameter's own uncertainty; default 1e-9. */
  enough?: number;
  /**
   * Returns residuals (observed - predicted) / u at the parameters, and the rows of
   * d(predicted)/d(parameter) / u.
   */
  at(parameters: readonly number[]): { residuals: number[]; jacobian: number[][] };
}

/**
 * Parameters where the sum of squares is least, with their covariance for residuals of unit
 * variance.
 */
export interface LeastSquares {
  parameters: number[];
  /** (J^T J)^-1: multiply by the residual variance if the sizes were not known beforehand. */
  covariance: number[][];
  sumOfSquares: number;
  residuals: number[];
  jacobian: number[][];
  iterations: number;
}

export type LeastSquaresResult =
  | ({ ok: true } & LeastSquares)
  | { ok: false; why: 'too-few' | 'undetermined' | 'no-convergence' };

const mostIterations = 200;
/** A step smaller than this share changes nothing that counts, unless the problem says less will do. */
const smallestStep = 1e-9;
/** At the bottom rounding decides which of two sums is less: a rise by this share is none. */
const roundingShare = 1e-12;
/**
 * Damping that shortens a step by less than a thousandth: a small step then means a place of rest.
 */
const littleDamping = 1e-3;
/**
 * Columns (scaled to length 1) that depend on one another to this share say nothing of one
 * parameter.
 */
const leastIndependence = 1e-11;

/**
 * Returns the parameters that make the sum of squared residuals least, by Levenberg and Marquardt's
 * method with Marquardt's scaling (J. SIAM 11 (1963) 431). The linear algebra is a library's QR
 * decomposition, never normal equations, so ill-conditioned problems keep their digits; the loop is
 * here because covariance and analytic derivatives are needed, which the fitting libraries do not
 * give.
 */
export function fitLeastSquares(problem: LeastSquaresProblem): LeastSquaresResult {
  let parameters = [...problem.start];
  let { residuals, jacobian } = problem.at(parameters);
  if (residuals.length < parameters.length) return { ok: false, why: 'too-few' };
  let sumOfSquares = squares(residuals);
  if (!Number.isFinite(sumOfSquares)) return { ok: false, why: 'no-convergence' };
  let damping = 0;
  for (let iterations = 1; iterations <= mostIterations; iterations++) {
    const scales = columnLengths(jacobian);
    if (scales.some((scale) => !(scale > 0))) return { ok: false, why: 'undetermined' };
    const step = solveStep(jacobian, residuals, scales, damping);
    if (step === null) {
      if (damping > 1e12) return { ok: false, why: 'undetermined' };
      damping = Math.max(1e-6, damping * 10);
      continue;
    }
    // scales are 1 / uncertainty of each parameter were it alone
    const small = step.every(
      (change, i) => Math.abs(change) * scales[i]! <= (problem.enough ?? smallestStep) * (1 + Math.sqrt(sumOfSquares)),
    );
    const next = parameters.map((value, i) => value + step[i]!);
    const there = problem.at(next);
    const nextSum = squares(there.residuals);
    if (nextSum <= sumOfSquares * (1 + roundingShare)) {
      parameters = next;
      ({ residuals, jacobian } = there);
      sumOfSquares = nextSum;
      damping = damping < 1e-7 ? 0 : damping / 10;
      if (small && damping <= littleDamping)
        return finish({ parameters, residuals, jacobian, sumOfSquares, iterations });
      continue;
    }
    if (small) return finish({ parameters, residuals, jacobian, sumOfSquares, iterations });
    damping = damping === 0 ? 1e-3 : damping * 10;
    if (damping > 1e15) return { ok: false, why: 'no-convergence' };
  }
  return { ok: false, why: 'no-convergence' };
}

function finish(found: Omit<LeastSquares, 'covariance'>): LeastSquaresResult {
  const covariance = covarianceOf(found.jacobian);
  return covariance === null ? { ok: false, why: 'undetermined' } : { ok: true, ...found, covariance };
}

/** Returns (J^T J)^-1 by way of R^-1, or null when the columns of J depend on one another. */
export function covarianceOf(jacobian: readonly (readonly number[])[]): number[][] | null {
  const scales = columnLengths(jacobian);
  if (scales.some((scale) => !(scale > 0))) return null;
  const qr = new QrDecomposition(new Matrix(scaled(jacobian, scales)));
  const r = qr.upperTriangularMatrix;
  if (!isIndependent(r)) return null;
  const inverse = invertUpper(r);
  return scales.map((a, i) =>
    scales.map((b, j) => inverse[i]!.reduce((sum, value, k) => sum + value * inverse[j]![k]!, 0) / (a * b)),
  );
}

function solveStep(jacobian: number[][], residuals: number[], scales: number[], damping: number): number[] | null {
  const rows = scaled(jacobian, scales);
  const right = residuals.map((value) => [value]);
  if (damping > 0) {
    for (let i = 0; i < scales.length; i++) {
      rows.push(scales.map((_, j) => (i === j ? Math.sqrt(damping) : 0)));
      right.push([0]);
    }
  }
  const qr = new QrDecomposition(new Matrix(rows));
  if (!isIndependent(qr.upperTriangularMatrix)) return null;
  const step = qr.solve(new Matrix(right)).to1DArray();
  return step.map((value, i) => value / scales[i]!);
}

function isIndependent(r: Matrix): boolean {
  return r.diagonal().every((value) => Math.abs(value) > leastIndependence);
}

function invertUpper(r: Matrix): number[][] {
  const n = r.columns;
  const inverse = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let column = 0; column < n; column++) {
    for (let row = column; row >= 0; row--) {
      let sum = row === column ? 1 : 0;
      for (let k = row + 1; k <= column; k++) sum -= r.get(row, k) * inverse[k]![column]!;
      inverse[row]![column] = sum / r.get(row, row);
    }
  }
  return inverse;
}

function columnLengths(rows: readonly (readonly number[])[]): number[] {
  return rows[0]!.map((_, column) => Math.sqrt(rows.reduce((sum, row) => sum + row[column]! ** 2, 0)));
}

function scaled(rows: readonly (readonly number[])[], scales: readonly number[]): number[][] {
  return rows.map((row) => row.map((value, column) => value / scales[column]!));
}

function squares(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value * value, 0);
}

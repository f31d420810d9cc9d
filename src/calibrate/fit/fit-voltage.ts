import { nominalCalibration } from '../../measure/reading/nominal.ts';
import { chiSquareTail } from '../../statistics/distributions/distribution.ts';
import { fitLeastSquares } from '../../statistics/least-squares.ts';
import type { CalPoint } from '../points/cal-point.ts';
import { pointProblem } from '../points/point-problem.ts';
import { errorModel } from './fit-range.ts';
import type { FitOptions, FitProblem, Residual, VoltageFit, VoltageFitResult } from './fit-types.ts';
import { worstVerdict } from './fit-verdict.ts';
import { contradictionProbability } from './outlier-search.ts';

const leastU = 1e-3;

/**
 * Returns the zero and the codes per volt of the voltage channel, N = nZero + codesPerVolt V, by
 * weighted least squares, or why the points determine none. With shorted tips alone (0 V) the zero
 * is fitted and the scale stays nominal, with the uncertainty of its parts.
 */
export function fitVoltage(points: readonly CalPoint[], options: FitOptions = {}): VoltageFitResult {
  const bad = pointProblem(points);
  if (bad !== null) return { ok: false, problem: bad };
  if (points[0]!.level !== 'voltage') {
    return { ok: false, problem: { code: 'level', text: 'these points are of a resistance range', atBest: 'refused' } };
  }
  const { voltage } = nominalCalibration;
  const { uLinearityCode } = errorModel(options);
  const volts = points.map(({ standard }) => (standard.kind === 'volt' ? standard.volt : 0));
  const sizes = points.map(({ standard, uCode }) => {
    const uVolt = standard.kind === 'volt' ? standard.uVolt : 0;
    return Math.max(leastU, Math.hypot(uCode, uLinearityCode, uVolt * voltage.codesPerVolt));
  });
  const hasScale = new Set(volts).size > 1;
  const uScale = voltage.codesPerVolt * voltage.uCodesPerVoltRel;
  const solved = fitLeastSquares({
    start: [voltage.nZero, voltage.codesPerVolt],
    at: ([zero, scale]) => {
      const residuals = points.map(({ code }, i) => (code - zero! - scale! * volts[i]!) / sizes[i]!);
      const jacobian = sizes.map((size, i) => [1 / size, volts[i]! / size]);
      if (!hasScale) {
        residuals.push((voltage.codesPerVolt - scale!) / uScale);
        jacobian.push([0, 1 / uScale]);
      }
      return { residuals, jacobian };
    },
  });
  if (!solved.ok) {
    const text = 'these points determine no zero of the voltage channel; add shorted tips';
    return { ok: false, problem: { code: 'undetermined', text, atBest: 'refused' } };
  }
  const [nZero, codesPerVolt] = solved.parameters as [number, number];
  const [[varZero, covariance], [, varScale]] = solved.covariance as [[number, number], [number, number]];
  const dof = points.length - (hasScale ? 2 : 1);
  const probability = dof > 0 ? chiSquareTail(solved.sumOfSquares, dof) : 1;
  const residuals = points.map((point, index): Residual => {
    const residualCode = point.code - nZero - codesPerVolt * volts[index]!;
    const leverage = varZero + 2 * volts[index]! * covariance + volts[index]! ** 2 * varScale;
    const size2 = sizes[index]! ** 2 - leverage;
    const standardised = size2 > 1e-6 * sizes[index]! ** 2 ? residualCode / Math.sqrt(size2) : 0;
    return { index, residualCode, residualOhm: null, standardised, used: true };
  });
  const problems = problemsOf(hasScale, probability, nZero, codesPerVolt);
  const fit: VoltageFit = {
    nZero,
    codesPerVolt,
    uZero: Math.sqrt(varZero),
    uCodesPerVoltRel: Math.sqrt(varScale) / codesPerVolt,
    residuals,
    chiSquare: solved.sumOfSquares,
    dof,
    probability,
    verdict: worstVerdict(problems.map(({ atBest }) => atBest)),
    problems,
  };
  return { ok: true, fit };
}

function problemsOf(hasScale: boolean, probability: number, nZero: number, codesPerVolt: number): FitProblem[] {
  const { voltage } = nominalCalibration;
  const problems: FitProblem[] = [];
  if (!hasScale) {
    const text = 'no known voltage was given: the zero is fitted, the scale keeps its parts and their tolerance';
    problems.push({ code: 'zero-only', text, atBest: 'good' });
  }
  if (probability < contradictionProbability) {
    const text = `the voltages do not lie on one line (probability ${probability.toPrecision(2)}); take them again`;
    problems.push({ code: 'chi-square', text, atBest: 'refused' });
  }
  const farZero = Math.abs(nZero - voltage.nZero) > 5 * voltage.uZero;
  const farScale = Math.abs(codesPerVolt / voltage.codesPerVolt - 1) > 5 * voltage.uCodesPerVoltRel;
  if (farZero || farScale) {
    const text =
      'zero or scale is far from what the parts of this design allow; are the voltages and their signs right?';
    problems.push({ code: 'far-from-parts', text, atBest: 'refused' });
  }
  return problems;
}

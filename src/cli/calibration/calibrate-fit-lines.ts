import { calibrationBudget } from '../../calibrate/fit/calibration-uncertainty.ts';
import type {
  CalibrationFit,
  NextStandard,
  RangeFit,
  RangeOutcome,
  Residual,
  VoltageFitResult,
} from '../../calibrate/fit/fit-types.ts';
import { spreadOver, workingSpanOhm } from '../../calibrate/fit/working-span.ts';
import type { CalPoint } from '../../calibrate/points/cal-point.ts';
import { describePoint } from '../../calibrate/points/point-words.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { fitChance } from '../../view/calibration/fit-chance.ts';

/** The residual scale goes this many standard deviations either way. */
const scaleEnd = 4;
const cellsEachWay = 10;
/** A further standard that lowers the uncertainty by less than this share is not worth a touch. */
const worthwhileGain = 1.05;

/**
 * Returns a fit as lines for people: every range with its parameters, residuals and verdict, then
 * the whole.
 */
export function fitLines(
  fit: CalibrationFit,
  points: readonly CalPoint[],
  lines: readonly number[],
  next: NextStandard | null,
): string[] {
  const out = fit.ranges.flatMap((outcome) => [...rangeLines(outcome, points, lines), '']);
  if (fit.voltage !== null) out.push(...voltageLines(fit.voltage), '');
  for (const { text } of fit.problems) out.push(`note: ${text}`);
  if (next !== null && next.gain >= worthwhileGain) out.push(`next: ${standardText(next)} ${next.why}`);
  out.push(verdictText(fit));
  return out;
}

function rangeLines(outcome: RangeOutcome, points: readonly CalPoint[], lines: readonly number[]): string[] {
  const name = `range ${outcome.range} ${outcome.level}`;
  if (!outcome.ok) return [`${name}: refused`, `  ${outcome.problem.text}`];
  const { fit } = outcome;
  return [
    `${name}: ${fit.verdict}`,
    `  offset ${fit.nOff.toFixed(1)} +/- ${fit.uOff.toFixed(1)} codes, open level ${fit.nOpen.toFixed(1)} +/- ${fit.uOpen.toFixed(1)} codes, source ${formatQuantity(fit.rsOhm, 'resistance', digitsFor(fit.rsOhm, fit.uRsOhm))} +/- ${formatQuantity(fit.uRsOhm, 'resistance', 2)} (k = 1)`,
    `  chi-square ${fit.chiSquare.toPrecision(3)}, ${fit.dof} degrees of freedom, probability ${fitChance(fit.probability)}`,
    `  ${budgetText(fit)}`,
    ...fit.residuals.map((residual) => residualLine(residual, points)),
    ...fit.outliers.map((outlier) => `  does not belong: line ${lines[outlier.index]}: ${outlier.text}`),
    ...fit.problems.map(({ text }) => `  note: ${text}`),
  ];
}

/** Digits of a value down to the second of its uncertainty. */
function digitsFor(value: number, u: number): number {
  return Math.min(9, Math.max(2, Math.floor(Math.log10(value)) - Math.floor(Math.log10(u)) + 2));
}

/**
 * What the calibration alone leaves unknown (k = 2) at the ends and the middle of the range's span.
 */
function budgetText(fit: RangeFit): string {
  const span = workingSpanOhm(fit.range, fit.level);
  if (span === null) return '';
  const parts = calibrationBudget(fit, spreadOver(span, 3)).map(
    ({ ohm, uOhm }) => `${formatQuantity(ohm, 'resistance', 2)} +/- ${formatQuantity(2 * uOhm, 'resistance', 2)}`,
  );
  return `by the calibration alone (k = 2): ${parts.join(', ')}`;
}

function residualLine({ index, standardised, used }: Residual, points: readonly CalPoint[]): string {
  const point = points[index]!;
  const value = `${standardised < 0 ? '' : '+'}${Math.abs(standardised) > 99 ? standardised.toPrecision(2) : standardised.toFixed(1)}`;
  return `  ${residualScale(standardised)} ${value.padStart(6)}  ${describePoint(point)}${used ? '' : ' (left out)'}`;
}

/**
 * A residual as a mark between -4 and 4 standard deviations: `[.........|..o......]`; `<` and `>`
 * for what lies beyond.
 */
function residualScale(standardised: number): string {
  const at = Math.round((standardised / scaleEnd) * cellsEachWay);
  const cells: string[] = Array.from({ length: 2 * cellsEachWay + 1 }, (_, i) => (i === cellsEachWay ? '|' : '.'));
  if (at < -cellsEachWay) cells[0] = '<';
  else if (at > cellsEachWay) cells[2 * cellsEachWay] = '>';
  else cells[at + cellsEachWay] = 'o';
  return `[${cells.join('')}]`;
}

function voltageLines(result: VoltageFitResult): string[] {
  if (!result.ok) return ['voltage channel: refused', `  ${result.problem.text}`];
  const { fit } = result;
  return [
    `voltage channel: ${fit.verdict}`,
    `  zero ${fit.nZero.toFixed(1)} +/- ${fit.uZero.toFixed(1)} codes, ${fit.codesPerVolt.toFixed(2)} codes per volt +/- ${(100 * fit.uCodesPerVoltRel).toPrecision(2)} % (k = 1)`,
    ...fit.problems.map(({ text }) => `  note: ${text}`),
  ];
}

function standardText({ standard, range, level }: NextStandard): string {
  return `${describePoint({ range, level, standard, code: 0, uCode: 0, n: 1 })}:`;
}

function verdictText({ verdict, ranges }: CalibrationFit): string {
  const outliers = ranges.reduce((sum, outcome) => sum + (outcome.ok ? outcome.fit.outliers.length : 0), 0);
  const left = outliers === 0 ? '' : `, ${outliers} ${outliers === 1 ? 'point' : 'points'} left out`;
  return `calibration: ${verdict} (${ranges.length} ${ranges.length === 1 ? 'range' : 'ranges'} fitted${left})`;
}

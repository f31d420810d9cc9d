import { rangeEndOhm } from '../../measure/reading/calibration.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import { describePoint } from '../points/point-words.ts';
import { byStandard, type IndexedPoint } from '../points/standard-observations.ts';
import { uCalibrationOhm } from './calibration-uncertainty.ts';
import type { FitProblem, FitVerdict, RangeFit } from './fit-types.ts';

const order: readonly FitVerdict[] = ['good', 'doubtful', 'refused'];
/**
 * A parameter this many nominal standard uncertainties from what the parts are marked is no probe
 * of this design, or no such range.
 */
const farFromParts = 5;
/** Where a range is best, a calibrated one should be at least this good, relative (k = 1). */
const wantedRel = 0.005;

/** Returns the worst of verdicts; good for none. */
export function worstVerdict(verdicts: readonly FitVerdict[]): FitVerdict {
  return order[Math.max(0, ...verdicts.map((verdict) => order.indexOf(verdict)))]!;
}

/**
 * The points behind a fit: those that could take part, those where the converter ended, and those
 * that might be wrong instead of the ones left out.
 */
export interface FitEvidence {
  readable: readonly IndexedPoint[];
  clipped: readonly IndexedPoint[];
  rivals: readonly IndexedPoint[] | 'none-explains';
}

/** Returns the fit with its verdict and every reason for it. */
export function judgeRange(fit: RangeFit, { readable, clipped, rivals }: FitEvidence): RangeFit {
  const problems: FitProblem[] = [];
  const say = (code: string, atBest: FitVerdict, text: string): void => {
    problems.push({ code, text, atBest });
  };
  const chance = `chi-square ${fit.chiSquare.toPrecision(3)} with ${fit.dof} degrees of freedom, probability ${fit.probability.toPrecision(2)}`;
  if (rivals === 'none-explains') {
    const much = 'the points contradict one another and no few of them explain it';
    say('inconsistent', 'refused', `${much} (${chance}); take every point again`);
  }
  if (fit.outliers.length > 0) {
    say(
      'outliers',
      'doubtful',
      `${fit.outliers.length} of ${readable.length} points do not belong and are left out; take them again`,
    );
  }
  const isOut = (kind: string): boolean =>
    fit.outliers.some(({ index }) => readable.find((point) => point.index === index)?.standard.kind === kind);
  if (isOut('short') && isOut('open')) {
    const text = 'neither the shorted nor the open tips go with the resistors: no touch is surer than those two';
    say('ends-left-out', 'refused', `${text}; look at the resistors, and take every point again`);
  }
  if (rivals !== 'none-explains' && rivals.length > 0) {
    const others = rivals.map(describePoint).join(', ');
    say(
      'ambiguous',
      'refused',
      `it can't be told which point is wrong: it could also be ${others}; add another resistor of this range`,
    );
  }
  const beyond = clipped.filter(({ standard }) => standard.kind !== 'open');
  if (beyond.length > 0) {
    const names = beyond.map(describePoint).join(', ');
    say(
      'clipped',
      'doubtful',
      `the converter ended at ${names}: it does not belong on this range, or a tip did not touch`,
    );
  }
  const standards = byStandard(readable).filter(
    (group) => !fit.outliers.some((o) => group.every((p) => p.index === o.index)),
  );
  if (fit.dof === 0) {
    say(
      'no-check',
      'doubtful',
      'as many points as parameters: nothing is left over to check the fit by; add a resistor',
    );
  }
  if (!standards.some(([first]) => first!.standard.kind === 'short')) {
    say('no-short', 'doubtful', 'no touch with shorted tips: the zero of this range rests on resistors alone');
  }
  const { ohm, uRel } = atBestOhm(fit);
  if (!(uRel <= wantedRel)) {
    say(
      'wide',
      'doubtful',
      `at ${formatQuantity(ohm, 'resistance', 2)} the calibration alone is known to ${(100 * uRel).toPrecision(2)} % (k = 1); better or more resistors near that value are needed`,
    );
  }
  const strange = strangeParameter(fit);
  if (strange !== null) {
    say(
      'far-from-parts',
      'doubtful',
      `${strange} is far from what the parts of this design allow; is it this range, and are the resistors what they are marked?`,
    );
  }
  return { ...fit, problems, verdict: worstVerdict(problems.map(({ atBest }) => atBest)) };
}

/**
 * Relative standard uncertainty by the calibration alone where a range is best: at its source
 * resistor, or half-way up where the converter ends before.
 */
function atBestOhm(fit: RangeFit): { ohm: number; uRel: number } {
  const ohm = Math.min(fit.rsOhm, rangeEndOhm(fit) / 2);
  return { ohm, uRel: uCalibrationOhm(ohm, fit) / ohm };
}

function strangeParameter(fit: RangeFit): string | null {
  const nominal = nominalCalibration.ranges.find(({ range, level }) => range === fit.range && level === fit.level);
  if (nominal === undefined) return null;
  const [offOff, , , openOpen, , rsRs] = nominal.cov;
  const parameters = [
    [`the offset (${fit.nOff.toFixed(1)} codes)`, fit.nOff - nominal.nOff, offOff, fit.uOff],
    [`the open level (${fit.nOpen.toFixed(1)} codes)`, fit.nOpen - nominal.nOpen, openOpen, fit.uOpen],
    [`the source resistance (${fit.rsOhm.toPrecision(5)} ohm)`, fit.rsOhm - nominal.rsOhm, rsRs, fit.uRsOhm],
  ] as const;
  const found = parameters.find(([, off, variance, u]) => Math.abs(off) > farFromParts * Math.sqrt(variance + u * u));
  return found?.[0] ?? null;
}

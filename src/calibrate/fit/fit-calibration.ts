import { nominalCalibration } from '../../measure/reading/nominal.ts';
import type { Calibration, RangeCalibration } from '../../measure/types.ts';
import type { CalibrationBlock, CalibrationEntry } from '../../protocol/calibration-block.ts';
import type { CalPoint } from '../points/cal-point.ts';
import { errorModel, fitRange } from './fit-range.ts';
import type {
  CalibrationFit,
  CalibrationMeta,
  FitOptions,
  FitProblem,
  RangeFit,
  RangeOutcome,
  VoltageFitResult,
} from './fit-types.ts';
import { worstVerdict } from './fit-verdict.ts';
import { fitVoltage } from './fit-voltage.ts';
import { needsPrior, priorOf } from './range-prior.ts';

/** Stands in the block for a temperature that was not noted: colder than anything can be. */
export const temperatureUnknownC = -300;
/**
 * Two levels of a range share their source resistor: further apart than this many standard
 * uncertainties they can't both be right.
 */
const farApart = 4;

/**
 * Returns a whole calibration from the points of all ranges, levels and the voltage channel: every
 * range fitted, what is missing, a verdict with its reasons, and (unless it is refused) the
 * calibration for the host and the block for the probe. Ranges without points keep nominal values.
 * Indexes in outliers and residuals are places in `points`.
 */
export function fitCalibration(
  points: readonly CalPoint[],
  meta: CalibrationMeta,
  options: FitOptions = {},
): CalibrationFit {
  const labelled = labelProblems(points, meta);
  const fits = new Map<string, RangeOutcome>();
  // ranges that need a prior come last: they lean on the others
  const wanted = [...nominalCalibration.ranges].sort((a, b) => Number(needsPrior(a)) - Number(needsPrior(b)));
  for (const nominal of wanted) {
    const pointIndexes = points.flatMap(({ range, level }, i) =>
      range === nominal.range && level === nominal.level ? [i] : [],
    );
    if (pointIndexes.length === 0) continue;
    const prior = needsPrior(nominal) ? priorOf(nominal, fittedOf(fits)) : undefined;
    const result = fitRange(
      pointIndexes.map((i) => points[i]!),
      { ...options, ...(prior === undefined ? {} : { prior }) },
    );
    const placed = result.ok ? { ok: true as const, fit: atPlaces(result.fit, pointIndexes) } : result;
    fits.set(keyOf(nominal), { range: nominal.range, level: nominal.level, pointIndexes, ...placed });
  }
  const ranges = nominalCalibration.ranges.flatMap((nominal) => fits.get(keyOf(nominal)) ?? []);
  const missing = nominalCalibration.ranges
    .filter((nominal) => !fits.has(keyOf(nominal)))
    .map(({ range, level }) => ({ range, level }));
  const voltage = voltageOf(points, options);
  const problems = [
    ...labelled,
    ...strangerProblems(points),
    ...missingProblems(ranges, missing, voltage),
    ...levelProblems(fittedOf(fits)),
    ...(ranges.length === 0 && voltage === null ? [none] : []),
  ];
  const verdict = worstVerdict([
    ...problems.map(({ atBest }) => atBest),
    ...ranges.map((outcome) => (outcome.ok ? outcome.fit.verdict : outcome.problem.atBest)),
    ...(voltage === null ? [] : [voltage.ok ? voltage.fit.verdict : voltage.problem.atBest]),
  ]);
  const made = verdict === 'refused' ? null : assemble(fittedOf(fits), voltage, meta, options);
  return {
    verdict,
    problems,
    ranges,
    voltage,
    missing,
    calibration: made?.calibration ?? null,
    block: made?.block ?? null,
  };
}

const none: FitProblem = { code: 'none', text: 'there is no point to fit', atBest: 'refused' };

function keyOf({ range, level }: { range: number; level: string }): string {
  return `${range} ${level}`;
}

function fittedOf(fits: ReadonlyMap<string, RangeOutcome>): RangeFit[] {
  return [...fits.values()].flatMap((outcome) => (outcome.ok ? [outcome.fit] : []));
}

/** Returns a fit whose indexes are places in all points, not in its own. */
function atPlaces(fit: RangeFit, places: readonly number[]): RangeFit {
  return {
    ...fit,
    residuals: fit.residuals.map((residual) => ({ ...residual, index: places[residual.index]! })),
    outliers: fit.outliers.map((outlier) => ({
      ...outlier,
      index: places[outlier.index]!,
      otherIndex: outlier.otherIndex === null ? null : places[outlier.otherIndex]!,
    })),
  };
}

function voltageOf(points: readonly CalPoint[], options: FitOptions): VoltageFitResult | null {
  const places = points.flatMap(({ level }, i) => (level === 'voltage' ? [i] : []));
  if (places.length === 0) return null;
  const result = fitVoltage(
    places.map((i) => points[i]!),
    options,
  );
  if (!result.ok) return result;
  const residuals = result.fit.residuals.map((residual) => ({ ...residual, index: places[residual.index]! }));
  return { ok: true, fit: { ...result.fit, residuals } };
}

function labelProblems(
  points: readonly CalPoint[],
  { setId, probeSerial, dateUnixS, validDays }: CalibrationMeta,
): FitProblem[] {
  const problems: FitProblem[] = [];
  const refuse = (code: string, text: string): void => {
    problems.push({ code, text, atBest: 'refused' });
  };
  const whole = (value: number, most: number): boolean => Number.isInteger(value) && value >= 0 && value <= most;
  if (!/^[\x20-\x7e]{0,16}$/.test(setId))
    refuse('set-id', `the set's identity '${setId}' must be at most 16 plain characters`);
  if (!whole(probeSerial, 2 ** 32 - 1)) refuse('serial', `a probe has no serial number ${probeSerial}`);
  if (!whole(dateUnixS, 2 ** 32 - 1)) refuse('date', 'the date of the calibration does not fit the block');
  if (validDays !== null && !(whole(validDays, 0xffff) && validDays > 0)) {
    refuse('validity', `a validity of ${validDays} days is not one; it takes a whole number from 1 to 65535`);
  }
  const sets = new Set(points.flatMap(({ standard }) => (standard.kind === 'resistor' ? [standard.uCommonRel] : [])));
  if (sets.size > 1) {
    const text = 'the resistors have different common uncertainties; all are taken to come from one reference';
    problems.push({ code: 'several-sets', text, atBest: 'good' });
  }
  return problems;
}

/** Points of a range or level that this probe does not have. */
function strangerProblems(points: readonly CalPoint[]): FitProblem[] {
  const known = new Set(nominalCalibration.ranges.map(keyOf));
  return points.flatMap((point, i) => {
    if (point.level === 'voltage' || known.has(keyOf(point))) return [];
    const text = `point ${i + 1}: this probe has no range ${point.range} at the ${point.level} level`;
    return [{ code: 'no-such-range', text, atBest: 'refused' as const }];
  });
}

function missingProblems(
  ranges: readonly RangeOutcome[],
  missing: CalibrationFit['missing'],
  voltage: VoltageFitResult | null,
): FitProblem[] {
  if (missing.length === 0 || (ranges.length === 0 && voltage === null)) return [];
  const names = missing.map(({ range, level }) => `${range} ${level}`).join(', ');
  const only = ranges.length === 1 ? `all points are of range ${keyOf(ranges[0]!)}; ` : '';
  const text = `${only}no points for range ${names}: nominal values and their wide uncertainty stay in force there`;
  return [{ code: 'missing', text, atBest: 'doubtful' }];
}

/**
 * The same source resistor at both levels must come out the same; the common error of the set moves
 * both alike.
 */
function levelProblems(fits: readonly RangeFit[]): FitProblem[] {
  return fits.flatMap((normal) => {
    const dry = fits.find(({ range, level }) => range === normal.range && level === 'dry');
    if (normal.level !== 'normal' || dry === undefined) return [];
    const common = normal.uCommonRel * normal.rsOhm;
    const u = Math.sqrt(Math.max(0, normal.uRsOhm ** 2 + dry.uRsOhm ** 2 - 2 * common ** 2));
    if (Math.abs(normal.rsOhm - dry.rsOhm) <= farApart * u) return [];
    const text = `range ${normal.range}: its source resistor comes out as ${normal.rsOhm.toPrecision(5)} ohm at the normal level and ${dry.rsOhm.toPrecision(5)} ohm dry, and it is the same one; were the same resistors touched?`;
    return [{ code: 'levels-disagree', text, atBest: 'doubtful' as const }];
  });
}

function assemble(
  fits: readonly RangeFit[],
  voltage: VoltageFitResult | null,
  meta: CalibrationMeta,
  options: FitOptions,
): { calibration: Calibration; block: CalibrationBlock } {
  const bare = fits.map(
    ({ range, level, nOff, nOpen, rsOhm, cov, uCommonRel }): RangeCalibration => ({
      range,
      level,
      nOff,
      nOpen,
      rsOhm,
      cov,
      uCommonRel,
    }),
  );
  const channel = voltage?.ok === true ? voltage.fit : null;
  const model = errorModel(options);
  // biome-ignore lint/style/noRestrictedGlobals: writes a given time as text, reads no clock
  const dateIso = new Date(meta.dateUnixS * 1000).toISOString();
  const calibration: Calibration = {
    id: `probe ${meta.probeSerial} ${dateIso} ${meta.setId}`.trim(),
    source: 'file',
    probeSerial: meta.probeSerial,
    dateIso,
    validDays: meta.validDays,
    ranges: nominalCalibration.ranges.map((nominal) => bare.find((fit) => keyOf(fit) === keyOf(nominal)) ?? nominal),
    voltage:
      channel === null
        ? nominalCalibration.voltage
        : {
            nZero: channel.nZero,
            codesPerVolt: channel.codesPerVolt,
            uZero: channel.uZero,
            uCodesPerVoltRel: channel.uCodesPerVoltRel,
          },
    leadOhm: model.leadOhm,
    // the residue itself was in every touch of the calibration and cancels; what differs from touch
    // to touch does not
    uLeadOhm: model.uTouchOhm,
  };
  const entries: CalibrationEntry[] = bare.map(({ range, level, nOff, nOpen, rsOhm, cov }) => ({
    range,
    level,
    nOff,
    nOpen,
    rsOhm,
    cov,
  }));
  if (channel !== null) {
    const { nZero, codesPerVolt, uZero, uCodesPerVoltRel } = channel;
    entries.push({
      range: 0,
      level: 'voltage',
      nOff: nZero,
      nOpen: codesPerVolt,
      rsOhm: 0,
      cov: [uZero ** 2, 0, 0, (uCodesPerVoltRel * codesPerVolt) ** 2, 0, 0],
    });
  }
  const block: CalibrationBlock = {
    probeSerial: meta.probeSerial,
    dateUnixS: meta.dateUnixS,
    validDays: meta.validDays ?? 0,
    temperatureC: meta.temperatureC ?? temperatureUnknownC,
    setId: meta.setId,
    entries,
  };
  return { calibration, block };
}

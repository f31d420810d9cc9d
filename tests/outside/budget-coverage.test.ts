import { describe, expect, test } from 'vitest';
import { fitCalibration } from '../../src/calibrate/fit/fit-calibration.ts';
import type { CalPoint, Standard } from '../../src/calibrate/points/cal-point.ts';
import { combinationsFor } from '../../src/calibrate/standards/presented-standards.ts';
import { codeOfOhm, rangeCalibration } from '../../src/measure/reading/calibration.ts';
import { calibrationInUse } from '../../src/measure/reading/calibration-age.ts';
import { codeStatistics } from '../../src/measure/reading/code-statistics.ts';
import { usualRange } from '../../src/measure/reading/expected-uncertainty.ts';
import { expandedUncertainty } from '../../src/measure/reading/format.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { Calibration, Level, RangeCalibration } from '../../src/measure/types.ts';
import { flagBits } from '../../src/protocol/table.ts';
import { convert, Dice } from '../support/probe-stream.ts';

// The Monte Carlo method of JCGM 101:2008: every input is drawn from the distribution that the budget says it has - parts of the probe, resistors
// and their common reference, the converter's non-linearity, noise and rounding, touches, temperature and ageing since - and goes through the
// measuring equation itself: a calibration is made, the fit is taken, the probe changes, a resistance is read. The stated interval must hold the truth
// in 95 % of the draws (JCGM 100:2008, 6.2.1). JCGM 101, 8, compares the two methods' intervals the same way.

const probes = 400;
const commonRel = 0.0005;
const toleranceRel = 0.001;
const boardOhms = [0.1, 0.47, 1, 4.7, 10, 33, 100, 470, 1e3, 3.3e3, 10e3, 22e3, 47e3, 100e3, 330e3, 1e6, 3.3e6];
/** One or two values in each decade that the probe measures. */
const targetOhms = [0.005, 0.05, 0.2, 0.8, 3, 25, 180, 700, 2.5e3, 18e3, 82e3, 390e3, 2.2e6];
/** Decades below belong to range 0, which is not offered at the dry level. */
const dryFromOhm = 0.8;
const year = 365;
const madeMs = Date.UTC(2026, 0, 1);

const rectangular = (dice: Dice, limit: number): number => limit * (2 * dice.uniform() - 1);

/** A probe's parts as its own tolerances allow (nominal covariance), one source resistor for both levels. */
function drawProbe(dice: Dice): Calibration {
  const sources = new Map<number, number>();
  const ranges = nominalCalibration.ranges.map((entry): RangeCalibration => {
    const [offOff, , , openOpen, , rsRs] = entry.cov;
    const key = Math.round(entry.rsOhm);
    const pull = sources.get(key) ?? dice.normal();
    sources.set(key, pull);
    const off = Math.sqrt(offOff) * dice.normal();
    const span = Math.sqrt(openOpen - offOff) * dice.normal();
    return {
      ...entry,
      nOff: entry.nOff + off,
      nOpen: entry.nOpen + off + span,
      rsOhm: entry.rsOhm + Math.sqrt(rsRs) * pull,
    };
  });
  return { ...nominalCalibration, ranges };
}

/** The converter's departure from a straight line: one draw for each place on its curve that is looked at. */
class Curve {
  private readonly dice: Dice;
  private readonly at = new Map<number, number>();
  constructor(dice: Dice) {
    this.dice = dice;
  }

  off(code: number): number {
    const place = Math.round(code);
    const known = this.at.get(place) ?? rectangular(this.dice, 8);
    this.at.set(place, known);
    return known;
  }
}

function codesOf(exact: number, n: number, curve: Curve, dice: Dice): number[] {
  const shifted = exact + curve.off(exact);
  return Array.from({ length: n }, () => convert(shifted, dice));
}

interface Drawn {
  parts: Calibration;
  made: Calibration;
  curve: Curve;
}

function calibrated(dice: Dice): Drawn | null {
  const parts = drawProbe(dice);
  const curve = new Curve(dice);
  const residueOhm = 0.002 + 0.001 * dice.normal();
  const common = rectangular(dice, commonRel * Math.sqrt(3));
  const standards: { standard: Standard; ohm: number }[] = [
    { standard: { kind: 'short' }, ohm: 0 },
    { standard: { kind: 'open' }, ohm: Number.POSITIVE_INFINITY },
    ...boardOhms.map((ohm) => ({
      standard: {
        kind: 'resistor' as const,
        ohm,
        uOhm: (ohm * toleranceRel) / Math.sqrt(3),
        uCommonRel: commonRel,
        name: `R ${ohm}`,
      },
      ohm: ohm * (1 + common) * (1 + rectangular(dice, toleranceRel)),
    })),
  ];
  const points = standards.flatMap(({ standard, ohm }) =>
    combinationsFor(standard)
      .filter(({ level }) => level !== 'voltage')
      .map(({ range, level }): CalPoint => {
        const entry = rangeCalibration(parts, range, level as Level)!;
        const touchOhm = Number.isFinite(ohm) ? residueOhm + 0.0005 * dice.normal() : 0;
        const codes = codesOf(codeOfOhm(ohm + touchOhm, entry), 40, curve, dice);
        const { mean, uRepeat, uRounding } = codeStatistics(codes)!;
        return { range, level, standard, code: mean, uCode: Math.hypot(uRepeat, uRounding), n: codes.length };
      }),
  );
  const meta = { probeSerial: 1, dateUnixS: madeMs / 1000, validDays: year, temperatureC: 23, setId: 'DRAWN' };
  const fit = fitCalibration(points, meta);
  // a sitting that is refused is held again
  if (fit.calibration === null) return null;
  const made = calibrationInUse(fit.calibration, { nowMs: madeMs, temperatureC: 23 });
  return { parts: later({ ...parts, leadOhm: residueOhm }, made, dice), made, curve };
}

/** The same probe when it is used: warmer or colder, older. */
function later(parts: Calibration, { drift }: Calibration, dice: Dice): Calibration {
  const { withinK, sourcePerK, spanPerK, ageingRel } = drift!;
  const sourceK = rectangular(dice, withinK) * sourcePerK;
  const spanK = rectangular(dice, withinK) * spanPerK;
  const aged = ageingRel * dice.normal();
  const ranges = parts.ranges.map((entry) => ({
    ...entry,
    nOpen: entry.nOpen + (entry.nOpen - entry.nOff) * spanK,
    rsOhm: entry.rsOhm * (1 + sourceK + aged),
  }));
  return { ...parts, ranges };
}

/** Whether the interval that is stated for a touch on `ohm` holds it. */
function holds({ parts, made, curve }: Drawn, ohm: number, level: Level, dice: Dice): boolean {
  const { range } = usualRange(ohm, nominalCalibration, level)!;
  const entry = rangeCalibration(parts, range, level)!;
  const code = codeOfOhm(ohm + parts.leadOhm + made.uLeadOhm * dice.normal(), entry);
  const codes = codesOf(code, 27, curve, dice);
  const flags = flagBits.excitation | (level === 'dry' ? flagBits.dry : 0);
  const reading = readWindow({ tUs: 0, periodUs: 884, range, level, flagBits: flags, codes }, made);
  return reading.state === 'in-range' && Math.abs(reading.value - ohm) <= expandedUncertainty(reading);
}

describe('the stated 95 % interval of a calibrated probe, by propagation of distributions', () => {
  const dice = new Dice(7);
  const drawn = Array.from({ length: probes }, () => calibrated(dice)).filter((one) => one !== null);
  const cases = (['normal', 'dry'] as const).flatMap((level) =>
    targetOhms.filter((ohm) => level === 'normal' || ohm >= dryFromOhm).map((ohm) => ({ level, ohm })),
  );
  const shares = cases.map(({ level, ohm }) => ({
    level,
    ohm,
    share: drawn.filter((probe) => holds(probe, ohm, level, dice)).length / drawn.length,
  }));

  test('is seldom refused when nothing is wrong', () => {
    expect(drawn.length).toBeGreaterThanOrEqual(0.98 * probes);
  });

  test.each(shares)('holds $ohm ohm at the $level level', ({ share }) => {
    // four standard deviations of a binomial count either way, for each of two dozen cases
    const reach = 4 * Math.sqrt((0.95 * 0.05) / probes);
    expect(share).toBeGreaterThan(0.95 - reach);
  });

  test('holds 95 % of all within the binomial error, and not much more', () => {
    const mean = shares.reduce((sum, { share }) => sum + share, 0) / shares.length;
    // readings of one probe share its calibration: a case of its own for each probe is the cautious count
    const reach = 3.5 * Math.sqrt((0.95 * 0.05) / (3 * probes));
    expect(mean).toBeGreaterThan(0.95 - reach);
    // rectangular inputs cover a little more than 95 % at k = 1.96, and no more than that
    expect(mean).toBeLessThan(0.95 + reach + 0.02);
  });
});

import { type Random, randomOf } from '../../sim/random.ts';
import type { Fault } from '../../src/guide/types.ts';
import { decide, guardedRule } from '../../src/measure/judge/decide.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { CaptureWindow, Level, Limits } from '../../src/measure/types.ts';
import type { Measured } from './benchmark.ts';
import { groundPad, linkOf, padOf, resistorBoard } from './resistor-board.ts';
import { TouchRig } from './touch-rig.ts';

export const name = 'classification';
export const claim =
  "decisions on emulated touches whose truth is the solver's answer for the drawn device; 'clear' means 4 standard uncertainties or more from every limit";

const probes = 40;
const touchesEach = 25;
/** 2 u of guard band and 2 u for the reading's own error: from here on a decision is to be expected. */
const clearFrom = 4;
/** Limits close to the truth lie within this many standard uncertainties of it. */
const nearWithin = 12;
const ohm = { low: 0.03, high: 5e6 } as const;
/** Share of touches on a resistor that is open. */
const openShare = 0.06;
/** No limit is placed beyond this: the probe measures to 10 Mohm. */
const largestLimitOhm = 9e6;
const smallestLimitOhm = 1e-4;

type Outcome = 'pass' | 'fail' | 'borderline' | 'unsteady' | 'none';
const outcomes: readonly Outcome[] = ['pass', 'fail', 'borderline', 'unsteady', 'none'];
type Truth = 'inside' | 'outside';

interface Judged {
  readonly truth: Truth;
  readonly clear: boolean;
  readonly outcome: Outcome;
}

/** Returns the uncertainty that a noiseless window would have at a resistance on the range that the firmware chose. */
function uncertaintyOhm(truthOhm: number, window: CaptureWindow): number {
  const entry = nominalCalibration.ranges.find((one) => one.range === window.range && one.level === window.level)!;
  const code = entry.nOff + ((entry.nOpen - entry.nOff) * truthOhm) / (truthOhm + entry.rsOhm);
  return readWindow({ ...window, codes: window.codes.map(() => Math.round(code)) }, nominalCalibration).u;
}

/** Returns a limit on one side of the truth: half of them within some uncertainties, half anywhere within two decades. */
function limitBeside(truthOhm: number, u: number, side: 1 | -1, random: Random): number {
  if (random.uniform() < 0.5) return truthOhm + side * u * nearWithin * random.uniform();
  return truthOhm * 10 ** (side * (0.02 + 2 * random.uniform()));
}

/** Returns limits that are drawn about the truth without a look at the reading; null when what was drawn can't be a limit. */
function drawLimits(truthOhm: number, u: number, random: Random): Limits | null {
  const inside = random.uniform() < 0.5;
  const form = random.integer(0, 2);
  const limits: { quantity: 'resistance'; min?: number; max?: number } = { quantity: 'resistance' };
  if (!Number.isFinite(truthOhm)) {
    const limitOhm = 10 ** (-1 + 7.9 * random.uniform());
    if (form === 0) return { ...limits, min: limitOhm };
    if (form === 1) return { ...limits, max: limitOhm };
    return { ...limits, min: limitOhm * random.uniform(), max: limitOhm };
  }
  if (form === 0) limits.max = limitBeside(truthOhm, u, inside ? 1 : -1, random);
  else if (form === 1) limits.min = limitBeside(truthOhm, u, inside ? -1 : 1, random);
  else {
    const above = random.uniform() < 0.5;
    limits.max = limitBeside(truthOhm, u, inside || !above ? 1 : -1, random);
    limits.min = limitBeside(truthOhm, u, inside || above ? -1 : 1, random);
    if (!inside && above) limits.min = limits.max * random.uniform();
    if (!inside && !above) limits.max = limits.min * (1 + 2 * random.uniform());
  }
  const bounds = [limits.min, limits.max].filter((bound) => bound !== undefined);
  const usable = bounds.every((bound) => bound >= smallestLimitOhm && bound <= largestLimitOhm);
  return usable && (limits.min ?? 0) < (limits.max ?? Number.POSITIVE_INFINITY) ? limits : null;
}

function limitsAbout(truthOhm: number, u: number, random: Random): Limits {
  for (;;) {
    const limits = drawLimits(truthOhm, u, random);
    if (limits !== null) return limits;
  }
}

function truthOf(
  truthOhm: number,
  u: number,
  { min = 0, max = Number.POSITIVE_INFINITY }: Limits,
): Omit<Judged, 'outcome'> {
  const truth = truthOhm >= min && truthOhm <= max ? 'inside' : 'outside';
  const distance = Math.min(
    ...[min, max]
      .filter((limit) => limit > 0 && limit < Number.POSITIVE_INFINITY)
      .map((limit) => Math.abs(truthOhm - limit)),
  );
  return { truth, clear: distance >= clearFrom * u };
}

function judgeProbe(probe: number): Judged[] {
  const random = randomOf(probe, 'classification');
  const decades = Math.log10(ohm.high / ohm.low);
  const ohms = Array.from({ length: touchesEach }, () => ohm.low * 10 ** (decades * random.uniform()));
  const level: Level = probe % 4 === 3 ? 'dry' : 'normal';
  const faults: Fault[] = ohms.flatMap((_, index) =>
    random.uniform() < openShare ? [{ link: linkOf(index), mode: 'open' }] : [],
  );
  const rig = new TouchRig({ guide: resistorBoard(ohms), seed: 20_000 + probe, level, faults });
  return ohms.map((_, index): Judged => {
    const truthOhm = rig.device.between(padOf(index), groundPad, null).sourceOhm;
    const { outcome } = rig.touch(padOf(index), groundPad);
    const u = outcome === null || !Number.isFinite(truthOhm) ? 0 : uncertaintyOhm(truthOhm, outcome.window);
    const limits = limitsAbout(truthOhm, u, random);
    const truth = truthOf(truthOhm, u, limits);
    if (outcome?.kind !== 'captured') return { ...truth, outcome: outcome === null ? 'none' : 'unsteady' };
    return { ...truth, outcome: decide(outcome.reading, limits, guardedRule).outcome };
  });
}

/** Returns counts over all touches, near ones too: a wrong decision is wrong wherever the limit lies. */
export async function measure(): Promise<Measured> {
  const judged = Array.from({ length: probes }, (_, probe) => judgeProbe(probe)).flat();
  const count = (want: Partial<Judged>): number =>
    judged.filter((one) => Object.entries(want).every(([key, value]) => one[key as keyof Judged] === value)).length;
  const rows = [
    { truth: 'inside', clear: true },
    { truth: 'inside', clear: false },
    { truth: 'outside', clear: true },
    { truth: 'outside', clear: false },
  ] as const;
  const cell = (text: string | number): string => String(text).padStart(11);
  const lines = [
    `  ${'truth'.padEnd(18)}${outcomes.map(cell).join('')}`,
    ...rows.map(
      (row) =>
        `  ${`${row.truth}, ${row.clear ? 'clear' : 'near a limit'}`.padEnd(18)}` +
        outcomes.map((outcome) => cell(count({ ...row, outcome }))).join(''),
    ),
  ];
  const clear = count({ clear: true });
  const decided = count({ clear: true, outcome: 'pass' }) + count({ clear: true, outcome: 'fail' });
  return {
    figures: [
      { what: 'false passes', value: count({ truth: 'outside', outcome: 'pass' }), sense: 'at most', target: 0 },
      { what: 'false fails', value: count({ truth: 'inside', outcome: 'fail' }), sense: 'at most', target: 1 },
      { what: 'clear touches that were decided', value: decided / clear, sense: 'at least', target: 0.99 },
    ],
    work: { touches: judged.length, clear, decided },
    numbers: {},
    lines,
  };
}

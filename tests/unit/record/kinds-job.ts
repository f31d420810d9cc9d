import { decideBridge } from '../../../src/checks/bridge/judge.ts';
import { decideLevels } from '../../../src/checks/dry-normal/judge.ts';
import { decideHold } from '../../../src/checks/steady/judge.ts';
import { proveClosure } from '../../../src/measure/judge/closure.ts';
import { holdSpan } from '../../../src/measure/judge/hold-span.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { CaptureWindow, Reading } from '../../../src/measure/types.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import {
  captureOf,
  contact,
  type NewOf,
  opened,
  probe,
  probeSerial,
  proofs,
  rule,
  windowOf,
} from '../../support/sample-job.ts';

const kept = ({ value, u, dof, state }: Reading) => ({ value, u, dof, state });

/** Returns codes of a voltage, with a little dither. */
export function voltsOf(volt: number, n = 27, bits = 0): CaptureWindow {
  const { nZero, codesPerVolt } = nominalCalibration.voltage;
  const codes = Array.from({ length: n }, (_, i) => Math.round(nZero + codesPerVolt * volt) + ((i * 7) % 5) - 2);
  const all = bits | flagBits.voltage | flagBits.seatA | flagBits.seatB;
  return { tUs: 1_000_000, periodUs: 884, range: 0, level: 'normal', flagBits: all, codes };
}

/** Returns a bridge with everything worked out as a session does. */
export function bridge(
  check: string,
  closedVolt: number,
  answer: 'yes' | 'no' | 'unsure',
  change: Partial<NewOf<'bridge'>> = {},
): NewOf<'bridge'> {
  const limits = { quantity: 'voltage', min: 1.6, max: 2 } as const;
  const window = voltsOf(1.8);
  const idle = readWindow(window, nominalCalibration);
  const closure = {
    windows: [voltsOf(closedVolt, 330, flagBits.bridge)],
    closedUs: 1_100_000,
    openedUs: 1_400_000,
    openedBy: 'timeUp' as const,
  };
  const how = { durationMs: 300, collapse: 0.3, rule };
  const proof = proveClosure(idle, closure, how, nominalCalibration);
  const asked = proof.proven ? { answer, by: 'person' as const } : { answer: null, by: null };
  const response = proof.proven ? { answer, respondedBefore: false, delayUs: null } : null;
  return {
    kind: 'bridge',
    check,
    attempt: 1,
    phase: 'before',
    power: 'on',
    idle: { window, contact, reading: kept(idle) },
    limits,
    ...how,
    closed: { ...closure, reading: kept(proof.reading!) },
    proven: proof.proven,
    input: 'start',
    question: 'Did it start?',
    ...asked,
    respondedBefore: false,
    light: [],
    withinMs: 1000,
    delayUs: null,
    probeSerial,
    calibration: nominalCalibration.id,
    ...decideBridge(idle, limits, rule, proof, response),
    ...change,
  };
}

/** Returns a touch at two levels. */
export function levels(check: string, dryOhm: number, normalOhm: number): NewOf<'levels'> {
  const limits = { quantity: 'resistance', max: 2 } as const;
  const normalWindow = windowOf(normalOhm);
  // ten times the gain at a tenth of the voltage: the codes of a range that both levels have are alike
  const asDry = windowOf(dryOhm);
  const dryWindow: CaptureWindow = { ...asDry, level: 'dry', flagBits: asDry.flagBits | flagBits.dry };
  const dry = readWindow(dryWindow, nominalCalibration);
  const normal = readWindow(normalWindow, nominalCalibration);
  const { outcome, why } = decideLevels(dry, normal, limits, 2, rule);
  return {
    kind: 'levels',
    check,
    attempt: 1,
    phase: 'before',
    limits,
    rule,
    factor: 2,
    power: 'off',
    by: 'settled',
    dry: { capture: captureOf(dryWindow), reading: kept(dry) },
    normal: { capture: captureOf(normalWindow), reading: kept(normal) },
    outcome,
    why,
  };
}

/** Returns a hold of two stretches at these ohms, with so many drop-outs. */
export function steady(check: string, ohms: [number, number], drops = 0): NewOf<'steady'> {
  const limits = { quantity: 'resistance', max: 4 } as const;
  const window = windowOf(ohms[0]);
  const settled = readWindow(window, nominalCalibration);
  const buckets = ohms.map((ohm, i) => {
    const { codes, range } = windowOf(ohm);
    const mean = codes.reduce((sum, code) => sum + code, 0) / codes.length;
    return {
      tUs: 1_050_000 + 50_000 * i,
      range,
      n: codes.length,
      min: Math.min(...codes),
      max: Math.max(...codes),
      mean,
    };
  });
  const dropOuts = { count: drops, longestUs: 2_000 * drops, totalUs: 2_000 * drops, subReading: 0 };
  const span = holdSpan(buckets, 'normal', nominalCalibration);
  const against = { limits, rule, maxDropOuts: 0, maxWander: 0.2 };
  const { outcome, why } = decideHold(settled, span, dropOuts, against);
  return {
    kind: 'steady',
    check,
    attempt: 1,
    phase: 'before',
    ...against,
    level: 'normal',
    power: 'off',
    capture: captureOf(window),
    reading: kept(settled),
    holdMs: 2000,
    hold: { fromUs: 1_030_000, heldUs: 2_100_000, buckets, dropOuts },
    span,
    outcome,
    why,
  };
}

/** Returns the entries of a job with these attempts. */
export function jobOf(...attempts: NewEntry[]): NewEntry[] {
  return [opened, probe(), ...proofs('opening'), ...attempts, ...proofs('closing')];
}

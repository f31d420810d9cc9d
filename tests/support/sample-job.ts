import { expect } from 'vitest';
import { decide } from '../../src/measure/judge/decide.ts';
import { codeOfOhm, rangeCalibration } from '../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { Calibration, CaptureWindow, Limits, Rule } from '../../src/measure/types.ts';
import { flagBits } from '../../src/protocol/table.ts';
import { firstPrev, sealEntry, sha256 } from '../../src/record/chain/chain.ts';
import type { Entry, EntryKind, NewEntry, Opening } from '../../src/record/entries/entries.ts';
import { closingEntry, emptyJob, foldEntry, foldJob } from '../../src/record/state/fold.ts';

export type NewOf<K extends EntryKind> = Extract<NewEntry, { kind: K }>;

export const probeSerial = 4711;
export const rule: Rule = { name: 'guarded', p: 0.975 };
/** An invented pocket lamp. */
const guideText = `
guide: 1
id: demo-lamp
title: Pocket lamp "Ängström"
device: { maker: Quillon, name: Lamp, kind: pocket lamp }
revisions: { holds: [B] }
cautions:
  - { id: cell, title: Lithium cell, text: "Lithium cell: keep tools off it.", when: always }
units:
  - { id: body, name: lamp body }
ground: GND
nodes: [GND, S, K]
pads:
  - { id: P1, node: S, where: spring }
  - { id: P2, node: K, where: key }
  - { id: P3, node: GND, where: rim }
links:
  - { id: spring-link, from: S, to: GND, kind: trace, ohm: 0.3 ohm, unit: body }
  - { id: key-switch, from: K, to: GND, kind: switch, ohm: 0.2 ohm, unit: body }
keys:
  - { id: key, name: key, link: key-switch }
checks:
  - { id: spring, kind: resistance, title: Spring contact, pads: [P1, P3], limits: max 2 ohm, prompt: Touch both. }
  - { id: key, kind: presses, title: Key, pads: [P2, P3], key: key, count: 3, limits: max 2 ohm, maxBounce: 5 ms, prompt: Press. }
  - { id: lens, kind: look, title: Lens, question: Is the lens cracked?, passAnswer: no, prompt: Look. }
`;

/** What the sample job is opened with: three checks of it. */
export const opening: Opening = {
  tool: 'ohmwright 0.0.0-test',
  guide: {
    id: 'demo-lamp',
    title: 'Pocket lamp "Ängström"',
    sha256: sha256(guideText),
    text: guideText,
    checks: [
      { id: 'spring', title: 'Spring contact', kind: 'resistance' },
      { id: 'key', title: 'Key', kind: 'presses' },
      { id: 'lens', title: 'Lens', kind: 'look' },
    ],
  },
  device: { maker: 'Quillon', name: 'Lamp', revision: 'B' },
  revision: { holds: true },
};

export const opened: NewOf<'opened'> = { ...opening, kind: 'opened', format: 1, job: '2031-05-17-abcdef' };

export const contact = {
  touchUs: 61_000,
  makes: 2,
  bounceUs: 1_800,
  dropOuts: { count: 0, longestUs: 0, totalUs: 0, subReading: 0 },
  settleUs: 25_000,
  seated: true,
};

/** Returns a window with the codes that a resistance gives by the measuring equation, with a little dither. */
export function windowOf(ohm: number, range = 1, calibration: Calibration = nominalCalibration): CaptureWindow {
  const entry = rangeCalibration(calibration, range, 'normal');
  if (entry === null) throw new Error(`no range ${range}`);
  const code = codeOfOhm(ohm, entry);
  const codes = [0, 1, -1, 0, 2, -2, 1, 0, -1, 0].map((dither) => Math.min(16_368, Math.round(code) + dither));
  const bits = flagBits.excitation | flagBits.seatA | flagBits.seatB;
  return { tUs: 1_000_000, periodUs: 884, range, level: 'normal', flagBits: bits, codes };
}

export function captureOf(window: CaptureWindow, calibration: Calibration = nominalCalibration) {
  return { window, contact, probeSerial, calibration: calibration.id };
}

export function probe(serial = probeSerial, calibration: Calibration = nominalCalibration): NewOf<'probe'> {
  return {
    kind: 'probe',
    identity: {
      protoMajor: 1,
      protoMinor: 0,
      fwMajor: 1,
      fwMinor: 0,
      fwBuild: 7,
      probeSerial: serial,
      capabilities: ['seatSense'],
      resetCause: ['external'],
      bootCount: 3,
      maxPayload: 64,
    },
    path: '/dev/ttyUSB0',
    calibration,
    calibrationState: 'nominal parts',
  };
}

function judged(window: CaptureWindow, limits: Limits) {
  const reading = readWindow(window, nominalCalibration);
  const { value, u, dof, state } = reading;
  return { reading: { value, u, dof, state }, ...decide(reading, limits, rule) };
}

/** Returns a capture of `ohm` against `max` with everything worked out as a session does. */
export function captured(
  check: string,
  ohm: number,
  attempt = 1,
  change: Partial<NewOf<'capture'>> = {},
): NewOf<'capture'> {
  const limits: Limits = { quantity: 'resistance', max: 2 };
  const window = windowOf(ohm);
  return {
    kind: 'capture',
    check,
    attempt,
    phase: 'before',
    quantity: 'resistance',
    limits,
    rule,
    level: 'normal',
    power: 'off',
    by: 'settled',
    capture: captureOf(window),
    ...judged(window, limits),
    ...change,
  };
}

export function proof(
  when: 'opening' | 'closing',
  what: 'shorted-tips' | 'check-resistor',
  ohm?: number,
): NewOf<'proof'> {
  const shorted = what === 'shorted-tips';
  const expected = shorted ? { min: -0.15, max: 0.15 } : { min: 95, max: 105 };
  const window = shorted ? windowOf(ohm ?? 0) : windowOf(ohm ?? 100, 2);
  const { pInside: _, ...rest } = judged(window, { quantity: 'resistance', ...expected });
  return { kind: 'proof', when, what, capture: captureOf(window), expected, rule, ...rest };
}

export function proofs(when: 'opening' | 'closing'): NewOf<'proof'>[] {
  return [proof(when, 'shorted-tips'), proof(when, 'check-resistor')];
}

export function presses(check: string, ohms: (number | 'missed')[], attempt = 1): NewOf<'presses'> {
  const limits: Limits = { quantity: 'resistance', max: 2 };
  const each = ohms.map((ohm) => {
    const common = { heldUs: 200_000, bounceUs: 900, makes: 2 };
    if (ohm === 'missed') return { ...common, window: null, missed: true, reading: null, outcome: 'fail' as const };
    const window = windowOf(ohm);
    const { reading, outcome } = judged(window, limits);
    return { ...common, window, missed: false, reading, outcome };
  });
  const bad = each.filter((press) => press.outcome === 'fail').length;
  const run = {
    check,
    attempt,
    phase: 'before' as const,
    limits,
    rule,
    count: ohms.length,
    maxBad: 0,
    maxBounceUs: 5_000,
  };
  const source = { probeSerial, calibration: nominalCalibration.id };
  return { kind: 'presses', ...run, ...source, presses: each, outcome: bad > 0 ? 'fail' : 'pass', why: `${bad} bad` };
}

export function observation(check: string, answer: 'yes' | 'no' | 'unsure', attempt = 1): NewOf<'observation'> {
  const outcome = answer === 'unsure' ? 'borderline' : answer === 'no' ? 'pass' : 'fail';
  const asked = { question: 'Is the lens cracked?', passAnswer: 'no' as const, answer, by: 'person' as const };
  return { kind: 'observation', check, attempt, phase: 'before', ...asked, outcome };
}

/** Entries of a whole job up to its end, with one of every kind that a session writes. */
export function wholeJob(springOhm = 0.4): NewEntry[] {
  const entries: NewEntry[] = [
    opened,
    { kind: 'caution', id: 'cell', text: 'Lithium cell: keep tools off it.', by: 'person' },
    probe(),
    ...proofs('opening'),
    { kind: 'power', to: 'off' },
    captured('spring', 1.99),
    { kind: 'repeat', check: 'spring', by: 'button' },
    captured('spring', springOhm, 2),
    { kind: 'gap', cause: 'sequence', missing: 3, fromUs: 1, toUs: 2, text: 'three frames lost' },
    { kind: 'live', tUs: 12_000, volt: 3.7, check: 'key', where: 'before' },
    presses('key', [0.2, 0.3, 0.25]),
    { kind: 'skipped', check: 'lens', reason: 'no light', by: 'person' },
    observation('lens', 'no'),
    { kind: 'note', text: 'Smells of flux \u{1F525} and "quotes"\n' },
    { kind: 'link', counters: { frames: 10, decoder: { crcErrors: 0, runts: 1 } } },
    ...proofs('closing'),
  ];
  return [...entries, closingEntry(foldJob(chainOf(entries).entries), 'done')];
}

/** Returns the entries chained, and the bytes of their record. The clock ticks `stepMs` an entry. */
export function chainOf(
  entries: NewEntry[],
  startMs = Date.UTC(2031, 4, 17, 8),
  stepMs = 1000,
): { bytes: Buffer; entries: Entry[]; lines: Buffer[] } {
  const lines: Buffer[] = [];
  const chained: Entry[] = [];
  let prev = firstPrev;
  entries.forEach((entry, i) => {
    const sealed = sealEntry(entry, { prev, n: i + 1, at: new Date(startMs + i * stepMs).toISOString() });
    if (!sealed.ok) throw new Error(sealed.what);
    prev = sealed.sha256;
    lines.push(sealed.line);
    chained.push(sealed.entry);
  });
  return { bytes: Buffer.concat(lines), entries: chained, lines };
}

export function stateOf(entries: NewEntry[]) {
  return chainOf(entries).entries.reduce(foldEntry, emptyJob());
}

/** Asserts that work is refused with an error of this code, and returns the error. */
export async function refusal(work: Promise<unknown>, code: string): Promise<Error & { help: string }> {
  const error = await work.then(
    () => null,
    (e: unknown) => e,
  );
  expect(error).toMatchObject({ code });
  return error as Error & { help: string };
}

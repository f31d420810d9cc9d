// Each declared fault, over the whole span of its ohms, is best explained by its own suspect, or by one that no check tells from it.
import { describe, expect, test } from 'vitest';
import type { Evidence, Measured } from '../../../src/checks/evidence.ts';
import type { Fault } from '../../../src/guide/types.ts';
import { type EvidenceEffect, evidenceEffect, logAt } from '../../../src/isolate/belief/evidence-effect.ts';
import { type Model, openModel } from '../../../src/isolate/predict/model.ts';
import type { CellSuspect } from '../../../src/isolate/suspects/suspects.ts';
import { madeGuide } from '../../bench/isolation/made-guide.ts';
import { randomFrom } from '../../outside/isolate-random-guide.ts';
import { exampleGuide, exampleNames } from '../../support/example-guide.ts';
import { shownBy } from '../../support/isolate/shown-by.ts';

/** A suspect that explains so many times better than the true one does so because it says less of its ohms. */
const fairFactor = 3;
const steps = 5;

type Shown = ReturnType<typeof shownBy>;

/** Faults of a suspect with ohms over its whole span: both ends, evenly between, and one at random. */
function faultsOf({ faults, cells }: CellSuspect, random: () => number, count = steps): Fault[] {
  const fault = faults[0]!;
  const ends = cells.flatMap(({ ohm }) => (ohm === null ? [] : [ohm.dry.lowOhm, ohm.dry.highOhm]));
  if (ends.length === 0) return [fault];
  const [low, high] = [Math.min(...ends), 0.9 * Math.max(...ends)];
  const at = (share: number): Fault => ({ ...fault, ohm: low * (high / low) ** share });
  return [...Array.from({ length: count }, (_, k) => at(k / (count - 1))), at(random())];
}

/** How well each suspect explains all that was seen, in its best cell: natural logarithms; and which cell that is. */
function bestCells(model: Model, effects: readonly EvidenceEffect[]): { log: number; cell: number }[] {
  const { suspects, cellStart } = model;
  return suspects.map(({ cells }, s) => {
    let best = { log: Number.NEGATIVE_INFINITY, cell: -1 };
    for (let cell = cellStart[s]!; cell < cellStart[s]! + cells.length; cell++) {
      const log = effects.reduce((sum, effect) => sum + logAt(model, effect, cell), 0);
      if (log > best.log) best = { log, cell };
    }
    return best;
  });
}

/** Whether two devices show the same: both pass, or what fails reads alike to what the model's widths can tell. */
function areAlike(one: Shown, other: Shown): boolean {
  return one.every((a, k) => (a.isPass && other[k]!.isPass) || areAlikePieces(a.evidence, other[k]!.evidence));
}

function areAlikePieces(a: Evidence, b: Evidence): boolean {
  if ('reading' in a && 'reading' in b) return areClose(a.quantity === 'voltage', a.reading, b.reading);
  if (a.kind === 'dry-normal' && b.kind === 'dry-normal')
    return areClose(false, a.normal, b.normal) && areClose(false, a.dry, b.dry);
  if (a.kind === 'presses' && b.kind === 'presses') return areClose(false, a.closed, b.closed);
  if (a.kind === 'bridge' && b.kind === 'bridge') return a.answer === b.answer && areClose(true, a.idle, b.idle);
  return a.kind === 'look' && b.kind === 'look' && a.answer === b.answer;
}

function areClose(isVolt: boolean, a: Measured | null, b: Measured | null): boolean {
  if (a === null || b === null) return a === b;
  if (isVolt) return Math.abs(a.value - b.value) < 0.1 + 0.06 * Math.abs(a.value);
  if (a.state !== b.state) return Math.min(a.value, b.value) > 5e6;
  return Math.abs(Math.log((a.value + 0.02) / (b.value + 0.02))) < 0.3;
}

/** Devices with a suspect's fault, at many ohms of its span; of films also those that the normal level does not break. */
function devicesOf(suspect: CellSuspect, random: () => number): Fault[][] {
  const faults = suspect.faults.length === 0 ? [] : faultsOf(suspect, random, 120);
  const unbroken = faults.flatMap((fault) => (fault.mode === 'film' ? [{ ...fault, mode: 'high' as const }] : []));
  return suspect.faults.length === 0 ? [[]] : [...faults, ...unbroken].map((fault) => [fault]);
}

/** What is wrong with how a model sees a fault. */
function wrongWith(model: Model, s: number, fault: Fault, random: () => number): string[] {
  const shown = shownBy(model.guide, [fault]);
  const effects = shown.map(({ evidence }) => evidenceEffect(model, evidence));
  const best = bestCells(model, effects);
  const better = model.suspects.flatMap((suspect, other) => {
    if (other === s || suspect.cause !== undefined) return [];
    if (best[other]!.log <= best[s]!.log + Math.log(fairFactor)) return [];
    const isSame = devicesOf(suspect, random).some((faults) => areAlike(shown, shownBy(model.guide, faults)));
    return isSame ? [] : [`better explained by ${suspect.id}`];
  });
  const unexplained = shown.flatMap(({ evidence, isPass }, k) =>
    isPass || logAt(model, effects[k]!, best[s]!.cell) >= effects[k]!.chanceLog
      ? []
      : [`does not explain ${evidence.check}`],
  );
  const where = `${model.suspects[s]!.id}${fault.ohm === undefined ? '' : `:${fault.ohm.toPrecision(3)}`}`;
  return [...better, ...unexplained].map((words) => `${where} ${words}`);
}

describe('a declared fault of any ohms of its span is best explained by its own suspect, or by one that shows the same', () => {
  test.each(exampleNames)(
    'on %s',
    (name) => {
      const model = openModel(exampleGuide(name));
      const random = randomFrom(1);
      // the keypad is a dozen times the same: every third of its suspects, at fewer ohms
      const count = name === 'membrane-keypad' ? 2 : steps;
      const cases = model.suspects.flatMap((suspect, s) =>
        suspect.faults.length === 1 && s % (name === 'membrane-keypad' ? 3 : 1) === 0
          ? faultsOf(suspect, random, count).map((fault) => [s, fault] as const)
          : [],
      );
      expect(cases.length).toBeGreaterThan(100);
      expect(cases.flatMap(([s, fault]) => wrongWith(model, s, fault, random))).toEqual([]);
    },
    120_000,
  );

  test.each([1, 5, 12])(
    'on made-up guide %i; another way in which the same link fails counts as its own',
    (seed) => {
      const model = openModel(madeGuide(seed));
      const random = randomFrom(seed);
      const cases = model.suspects.flatMap((suspect, s) =>
        suspect.faults.length === 1 ? faultsOf(suspect, random, 2).map((fault) => [s, fault] as const) : [],
      );
      expect(cases.length).toBeGreaterThan(100);
      const isOwnLink = (words: string, link: string): boolean => words.includes(`better explained by ${link}=`);
      const wrong = cases.flatMap(([s, fault]) =>
        wrongWith(model, s, fault, random).filter((words) => !isOwnLink(words, fault.link)),
      );
      expect(wrong).toEqual([]);
    },
    240_000,
  );
});

import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import type { FitVerdict } from '../../../../src/calibrate/fit/fit-types.ts';
import { markText } from '../../../../src/faces/screen/parts/theme.ts';
import type { Outcome } from '../../../../src/measure/types.ts';
import type { EntryOf } from '../../../../src/record/entries/entries.ts';
import { emptyJob } from '../../../../src/record/state/fold.ts';
import type { JobResult } from '../../../../src/record/state/job-state.ts';
import { ciCases } from '../../../../src/report/handover/ci-cases.ts';
import { labelText } from '../../../../src/report/handover/label.ts';
import { OutcomeWord } from '../../../../src/report/paper/outcome.tsx';
import { verdictText, verdictWords } from '../../../../src/view/calibration/verdict.ts';
import { answerLines, conclusionWords } from '../../../../src/view/words/conclusion.ts';
import { marks } from '../../../../src/view/words/mark.ts';
import { outcomeText, outcomeWords } from '../../../../src/view/words/outcome.ts';
import { type PartState, partWords } from '../../../../src/view/words/part.ts';
import { resultWords } from '../../../../src/view/words/result.ts';
import { ascii, unicode } from '../../../support/frames.ts';

/** Every code, written out: a code that is added makes these lists a type error until it has its words. */
const outcomes = Object.keys({
  pass: 0,
  fail: 0,
  borderline: 0,
  unsteady: 0,
  'no-contact': 0,
  live: 0,
} satisfies Record<Outcome, 0>) as Outcome[];
const results = Object.keys({
  passed: 0,
  failed: 0,
  repaired: 0,
  'no-fault-found': 0,
  inconclusive: 0,
  abandoned: 0,
} satisfies Record<JobResult, 0>) as JobResult[];
const conclusions = Object.keys({ fault: 0, group: 0, none: 0, unknown: 0, open: 0 } satisfies Record<
  EntryOf<'concluded'>['conclusion'],
  0
>) as EntryOf<'concluded'>['conclusion'][];
const parts = Object.keys({
  'at-fault': 0,
  suspect: 0,
  cleared: 0,
  changed: 0,
  unknown: 0,
} satisfies Record<PartState, 0>) as PartState[];

const verdicts = Object.keys({ good: 0, doubtful: 0, refused: 0 } satisfies Record<FitVerdict, 0>) as FitVerdict[];

/** How each face shows an outcome, as it stands before a person. */
const faces: [name: string, shown: (outcome: Outcome) => string][] = [
  ['plain lines', outcomeText],
  ['the screen', (outcome) => `${markText(outcomeWords[outcome].mark, unicode)} ${outcomeWords[outcome].word}`],
  ['the screen in ASCII', (outcome) => `${markText(outcomeWords[outcome].mark, ascii)} ${outcomeWords[outcome].word}`],
  ['the report', (outcome) => renderToStaticMarkup(createElement(OutcomeWord, { outcome })).replace(/<[^>]*>/g, '')],
];

describe('the answer', () => {
  const found: EntryOf<'concluded'> = {
    kind: 'concluded',
    n: 5,
    at: '2031-05-17T10:00:00.000Z',
    prev: '',
    conclusion: 'fault',
    decisions: [{ id: 'board', name: 'lamp board', p: 0.97 }],
    reasons: [],
    doubt: null,
    plan: {
      steps: [{ repair: 'new-board', name: 'fit a new lamp board', p: 0.95, price: 12, minutes: 9 }],
      expectedPrice: 12,
      expectedMinutes: 9,
      left: 0.05,
      usual: null,
      currency: 'EUR',
    },
    notTested: [],
    beyond: null,
    evidence: [4],
  };
  const repair = { kind: 'repair', n: 6 } as unknown as EntryOf<'repair'>;

  test('names the place, how sure that is, what to do and what it costs', () => {
    expect(answerLines({ found, repairs: [], result: 'failed' })).toEqual([
      'found: lamp board (97 %)',
      'to do: fit a new lamp board (95 % that it helps; 12.00 EUR, 9 min)',
    ]);
  });

  test('stays when it was repaired; nothing is left to do then', () => {
    expect(answerLines({ found, repairs: [repair], result: 'repaired' })).toEqual(['found: lamp board (97 %)']);
  });

  test('is none where nothing was found, or everything passed', () => {
    expect(answerLines({ found: null, repairs: [], result: 'inconclusive' })).toEqual([]);
    expect(answerLines({ found, repairs: [], result: 'passed' })).toEqual([]);
  });

  test('stands on the label', () => {
    const state = { ...emptyJob(), found, result: 'failed' as const };
    expect(labelText({ state, digest: '0', verifies: true }, 48)).toContain('found: lamp board (97 %)');
    expect(labelText({ state, digest: '0', verifies: false }, 48)).not.toContain('lamp board');
  });
});

describe.each(faces)('on %s', (_name, shown) => {
  test.each(outcomes)('%s has its word', (outcome) => {
    expect(shown(outcome)).toContain(outcomeWords[outcome].word);
  });

  test('no two outcomes share a mark', () => {
    const seen = outcomes.map((outcome) => shown(outcome).replace(outcomeWords[outcome].word, '').trim());
    expect(seen.every((mark) => mark !== '')).toBe(true);
    expect(new Set(seen).size).toBe(outcomes.length);
  });
});

describe('marks', () => {
  test.each(['ascii', 'unicode'] as const)('each means one thing, in %s', (set) => {
    const all = Object.values(marks).map((mark) => mark[set]);
    expect(new Set(all).size).toBe(all.length);
    expect(all.every((mark) => [...mark].length === 1)).toBe(true);
  });

  test('a character that both sets know is the same mark in both', () => {
    const names = Object.keys(marks) as (keyof typeof marks)[];
    for (const name of names) {
      for (const other of names) {
        if (marks[name].unicode === marks[other].ascii) expect(other).toBe(name);
      }
    }
  });

  test('those of ASCII are ASCII', () => {
    for (const { ascii: mark } of Object.values(marks)) expect(mark).toMatch(/^[!-~]$/);
  });
});

test('outcomes have words of their own', () => {
  const words = Object.values(outcomeWords).map(({ word }) => word);
  expect(new Set(words).size).toBe(words.length);
});

test.each(outcomes)('continuous integration reads the word of %s', (outcome) => {
  const check = {
    id: 'c',
    title: 'C',
    kind: 'resistance',
    inGuide: true,
    outcome,
    attempts: [],
    skipped: null,
    doubtful: false,
  };
  const state = { ...emptyJob(), checks: { c: check as never } };
  const [told] = ciCases({ state, departures: 0 });
  expect(told?.message.startsWith(`${outcomeWords[outcome].word}:`)).toBe(true);
  expect(told?.kind === 'passed').toBe(outcome === 'pass');
});

describe.each(results)('the result %s', (result) => {
  test('has a word, a mark and a sentence', () => {
    const { word, mark, sentence } = resultWords[result];
    expect(word).not.toBe('');
    expect(marks[mark]).toBeDefined();
    expect(sentence).toMatch(/^[A-Z].*\.$/);
  });

  test('stands on the label by its word', () => {
    const state = { ...emptyJob(), result, closed: { at: '2026-01-01T00:00:00.000Z' } as never };
    const label = labelText({ state, digest: '0'.repeat(64), verifies: true }, 48);
    expect(label).toContain(resultWords[result].word.toUpperCase());
  });
});

test('results have words of their own', () => {
  expect(new Set(results.map((result) => resultWords[result].word)).size).toBe(results.length);
});

test.each(parts)('a part that is %s has a word and a mark', (part) => {
  expect(partWords[part].word).not.toBe('');
  expect(marks[partWords[part].mark]).toBeDefined();
});

test('a fit has a mark for each verdict, and shares none with an outcome that is neither good nor bad', () => {
  const used = verdicts.map((verdict) => verdictWords[verdict].mark);
  expect(new Set(used).size).toBe(verdicts.length);
  for (const outcome of outcomes.filter((code) => code !== 'pass' && code !== 'fail'))
    expect(used).not.toContain(outcomeWords[outcome].mark);
  for (const verdict of verdicts)
    expect(verdictText(verdict)).toBe(`[${marks[verdictWords[verdict].mark].ascii}] ${verdict}`);
});

test('parts have words and marks of their own', () => {
  expect(new Set(parts.map((part) => partWords[part].word)).size).toBe(parts.length);
  expect(new Set(parts.map((part) => partWords[part].mark)).size).toBe(parts.length);
});

describe.each(conclusions)('the conclusion %s', (conclusion) => {
  const decisions = [
    { name: 'key unit', p: 0.996 },
    { name: 'jack board', p: 0.004 },
  ];

  test.each([true, false])('has a word, a clause, a head and a sentence (repaired: %s)', (isRepaired) => {
    const { large, short, head, long } = conclusionWords({ conclusion, decisions }, isRepaired);
    expect(large).toMatch(/^[A-Z0-9 ]+$/);
    expect(short).not.toMatch(/\.$/);
    expect(head).toMatch(/^[A-Z].*\.$/);
    expect(long).toMatch(/^[A-Z].*\.$/);
  });

  test('never makes certain what is not', () => {
    const { short, long } = conclusionWords({ conclusion, decisions }, false);
    expect(`${short} ${long}`).not.toMatch(/100 %|\b0 %/);
  });

  test('has words without a name', () => {
    expect(conclusionWords({ conclusion, decisions: [] }, false).long).toMatch(/^[A-Z].*\.$/);
  });
});

test('conclusions are told apart by each form', () => {
  const decisions = [{ name: 'key unit', p: 0.5 }];
  for (const form of ['short', 'head', 'long'] as const) {
    const told = [
      conclusionWords(null, false)[form],
      conclusionWords({ conclusion: 'none', decisions: [] }, true)[form],
      ...conclusions.map((conclusion) => conclusionWords({ conclusion, decisions }, false)[form]),
    ];
    expect(new Set(told).size).toBe(told.length);
  }
});

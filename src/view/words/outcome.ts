import type { Outcome } from '../../measure/types.ts';
import { bracketed, type Mark } from './mark.ts';

/** What a text stands for; each face gives it a look, and no meaning rests on the look alone. */
export type Tone = 'plain' | 'quiet' | 'strong' | 'pass' | 'fail' | 'doubt' | 'danger';

/** How an outcome is told: word and mark always stand together. */
export interface OutcomeWords {
  word: string;
  mark: Mark;
  tone: Tone;
}

/** Every outcome that a check can stand at, and `skipped`. */
export const outcomeWords: Record<Outcome | 'skipped', OutcomeWords> = {
  pass: { word: 'pass', mark: 'pass', tone: 'pass' },
  fail: { word: 'fail', mark: 'fail', tone: 'fail' },
  borderline: { word: 'borderline', mark: 'borderline', tone: 'doubt' },
  unsteady: { word: 'unsteady', mark: 'unsteady', tone: 'doubt' },
  'no-contact': { word: 'no contact', mark: 'no-contact', tone: 'doubt' },
  live: { word: 'live', mark: 'live', tone: 'danger' },
  skipped: { word: 'skipped', mark: 'skipped', tone: 'quiet' },
};

/**
 * Returns an outcome in plain ASCII, its mark in brackets so that a column can be scanned: `[+]
 * pass`.
 */
export function outcomeText(outcome: Outcome | 'skipped'): string {
  const { word, mark } = outcomeWords[outcome];
  return `${bracketed(mark)} ${word}`;
}

/**
 * Returns why an outcome came about. Where the record repeats the outcome's code, its word stands.
 */
export function whyText(why: string): string {
  return why in outcomeWords ? outcomeWords[why as Outcome].word : why;
}

/** Returns the word of an outcome; a check without one is `not done`. */
export function outcomeWord(outcome: Outcome | null): string {
  return outcome === null ? 'not done' : outcomeWords[outcome].word;
}

import { formatReading } from '../../measure/reading/format.ts';
import type { Outcome, Reading } from '../../measure/types.ts';
import type { TipContact } from '../../session/engine/recent-readings.ts';

/** What a text stands for; the theme gives it a look, and no meaning rests on the look alone. */
export type Tone = 'plain' | 'quiet' | 'strong' | 'pass' | 'fail' | 'doubt' | 'danger';

/** Names of marks; the theme draws them from the characters that the terminal has. */
export type Mark = 'pass' | 'fail' | 'borderline' | 'unsteady' | 'no-contact' | 'live' | 'skipped' | 'none' | 'now';

export interface OutcomeWord {
  word: string;
  mark: Mark;
  tone: Tone;
}

const outcomeWords: Record<Outcome | 'skipped', OutcomeWord> = {
  pass: { word: 'PASS', mark: 'pass', tone: 'pass' },
  fail: { word: 'FAIL', mark: 'fail', tone: 'fail' },
  borderline: { word: 'BORDERLINE', mark: 'borderline', tone: 'doubt' },
  unsteady: { word: 'UNSTEADY', mark: 'unsteady', tone: 'doubt' },
  'no-contact': { word: 'NO CONTACT', mark: 'no-contact', tone: 'doubt' },
  live: { word: 'LIVE', mark: 'live', tone: 'danger' },
  skipped: { word: 'SKIPPED', mark: 'skipped', tone: 'quiet' },
};

/** Returns the word, the mark and the tone of an outcome. */
export function outcomeWord(outcome: Outcome | 'skipped'): OutcomeWord {
  return outcomeWords[outcome];
}

/** What is between the tips, in a few words. */
export const contactTexts: Record<TipContact, string> = {
  none: 'no readings',
  live: 'voltage on tips',
  air: 'tips in the air',
  'a-only': 'only tip A on',
  'b-only': 'only tip B on',
  open: 'path open',
  closed: 'both tips on',
};

/** A reading in parts, so that the number can be drawn large. `number` is `---` without a reading. */
export interface ReadingParts {
  number: string;
  unit: string;
  /** Expanded uncertainty with its unit (`+/- 0.06 ohm`), or what stands in its place (`open`); empty without a reading. */
  beside: string;
}

/** Returns a reading in parts, by the same rules and digits as everywhere else. */
export function readingParts(reading: Reading | null): ReadingParts {
  if (reading === null || reading.state === 'unreadable') return { number: '---', unit: '', beside: '' };
  const text = formatReading(reading);
  const found = /^([<>] )?(\S+) (\S+)(?: \+\/- (.+)| \((.+)\))?$/.exec(text);
  if (found === null) return { number: text, unit: '', beside: '' };
  const [, bound = '', number = '', unit = '', uncertainty, words = ''] = found;
  return { number: `${bound}${number}`, unit, beside: uncertainty === undefined ? words : `+/- ${uncertainty}` };
}

/** Returns a text as one line without control characters, so that no guide or ticket can break a frame. */
export function plainLine(text: string): string {
  return text.replace(/[\s\p{Cc}\p{Cf}\p{Cs}]+/gu, ' ').trim();
}

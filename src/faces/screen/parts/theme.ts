import type { TextProps } from 'ink';
import { sureColumns } from '../../../view/text/sure-columns.ts';
import { type Mark, marks } from '../../../view/words/mark.ts';
import type { Tone } from '../../../view/words/outcome.ts';

/** How a screen is drawn on a terminal. */
export interface Theme {
  colour: boolean;
  /** Characters beyond ASCII may be used. */
  unicode: boolean;
  background: 'dark' | 'light';
}

type Look = Pick<TextProps, 'color' | 'bold' | 'dimColor' | 'inverse'>;

/** Returns the mark as one character; as the terminal can show it. */
export function markText(mark: Mark, theme: Theme): string {
  return theme.unicode ? marks[mark].unicode : marks[mark].ascii;
}

/**
 * Blue against orange-red and yellow are told apart with every common colour blindness; common
 * practice, no source.
 */
const darkColours: Partial<Record<Tone, string>> = {
  pass: 'cyanBright',
  fail: 'redBright',
  doubt: 'yellowBright',
  danger: 'yellowBright',
};
const lightColours: Partial<Record<Tone, string>> = { pass: 'blue', fail: 'red', doubt: 'magenta', danger: 'red' };

/** Returns how a tone looks. Bold and inverse are there without colour too, so nothing is lost. */
export function toneLook(tone: Tone, theme: Theme): Look {
  const colour = theme.colour ? (theme.background === 'dark' ? darkColours : lightColours)[tone] : undefined;
  return {
    ...(colour === undefined ? {} : { color: colour }),
    bold: tone !== 'plain' && tone !== 'quiet',
    inverse: tone === 'danger',
    // dim text on a light background is hard to read on many terminals
    dimColor: tone === 'quiet' && theme.background === 'dark' && theme.colour,
  };
}

/** Returns a text in the characters that the terminal has. */
export function drawable(text: string, theme: Theme): string {
  const sure = sureColumns(text);
  return theme.unicode ? sure : sure.replace(/[^\x20-\x7e]/gu, '?');
}

/** Characters that panels draw with. */
export interface Strokes {
  block: string;
  upper: string;
  lower: string;
  full: string;
  line: string;
  band: string;
  needle: string;
  offLow: string;
  offHigh: string;
  barOn: string;
  barOff: string;
  tick: string;
  limitLow: string;
  limitHigh: string;
}

const unicodeStrokes: Strokes = {
  block: '█',
  upper: '▀',
  lower: '▄',
  full: '█',
  line: '─',
  band: '━',
  needle: '▼',
  offLow: '◀',
  offHigh: '▶',
  barOn: '█',
  barOff: '░',
  tick: '┴',
  limitLow: '┣',
  limitHigh: '┫',
};
const asciiStrokes: Strokes = {
  block: '#',
  upper: "'",
  lower: '.',
  full: ':',
  line: '-',
  band: '=',
  needle: 'V',
  offLow: '<',
  offHigh: '>',
  barOn: '#',
  barOff: '.',
  tick: '-',
  limitLow: '[',
  limitHigh: ']',
};

/** Returns the characters to draw with. */
export function strokesOf(theme: Theme): Strokes {
  return theme.unicode ? unicodeStrokes : asciiStrokes;
}

import { Box, Text } from 'ink';
import type { ReactNode } from 'react';
import { wrapLines } from '../../../view/text/fit-text.ts';
import type { Tone } from '../../../view/words/outcome.ts';
import { drawable, type Theme, toneLook } from './theme.ts';

/** One row of a panel: never wrapped, cut at the panel's edge. */
export function Row({ children, theme }: { children: ReactNode; theme: Theme }) {
  return (
    <Box height={1} flexShrink={0} overflow="hidden">
      {/* Ink marks a cut with a character beyond ASCII; a hard wrap hides what is past the edge instead */}
      <Text wrap={theme.unicode ? 'truncate' : 'hard'}>{children}</Text>
    </Box>
  );
}

interface SpanProps {
  text: string;
  tone?: Tone;
  /** Under the cursor, or a bar across the screen. */
  inverse?: boolean;
  /** In hand, whatever the tone. */
  bold?: boolean;
  theme: Theme;
}

/**
 * Text in a tone, in characters that the terminal has. Every text of the screen goes through here:
 * a raw one could be wider than was counted.
 */
export function Span({ text, tone = 'plain', inverse, bold, theme }: SpanProps) {
  const look = toneLook(tone, theme);
  return (
    <Text {...look} inverse={inverse ?? look.inverse} bold={bold ?? look.bold}>
      {drawable(text, theme)}
    </Text>
  );
}

/** A row with nothing but a text. */
export function Line({ text, ...how }: SpanProps) {
  return (
    <Row theme={how.theme}>
      <Span text={text === '' ? ' ' : text} {...how} />
    </Row>
  );
}

/** A text in as many rows as it takes, at most `most`. */
export function Paragraph({ text, cols, most, ...how }: SpanProps & { cols: number; most: number }) {
  return wrapLines(text, cols, most).map((line, index) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
    <Line key={index} text={line} {...how} />
  ));
}

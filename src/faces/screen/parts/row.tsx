import { Box, Text } from 'ink';
import type { ReactNode } from 'react';
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

/** Text in a tone, in characters that the terminal has. */
export function Span({ text, tone = 'plain', theme }: { text: string; tone?: Tone; theme: Theme }) {
  return <Text {...toneLook(tone, theme)}>{drawable(text, theme)}</Text>;
}

/** A row with nothing but a text. */
export function Line({ text, tone = 'plain', theme }: { text: string; tone?: Tone; theme: Theme }) {
  return (
    <Row theme={theme}>
      <Span text={text === '' ? ' ' : text} tone={tone} theme={theme} />
    </Row>
  );
}

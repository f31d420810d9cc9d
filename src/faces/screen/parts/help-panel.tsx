import { Box } from 'ink';
import type { Headline } from '../../../view/job/headline.ts';
import { Line, Row, Span } from './row.tsx';
import type { Theme } from './theme.ts';

interface HelpProps {
  keys: readonly [string, string][];
  hands: readonly [string, string][];
  /** Trouble is said over the help too. */
  headline: Headline | null;
  cols: number;
  rows: number;
  theme: Theme;
}

/** All keys, and what the hands do without any. Measuring goes on beneath. */
export function HelpPanel({ keys, hands, headline, cols, rows, theme }: HelpProps) {
  return (
    <Box flexDirection="column" width={cols} height={rows} overflow="hidden">
      {headline !== null && <Line text={`${headline.word}  ${headline.text}`} tone={headline.tone} theme={theme} />}
      <Line text="Keys (any key goes back)" tone="strong" theme={theme} />
      <Pairs pairs={keys} width={10} theme={theme} />
      {hands.length > 0 && rows > keys.length + hands.length + 4 && <Line text="" theme={theme} />}
      {hands.length > 0 && <Line text="Without the keyboard" tone="strong" theme={theme} />}
      <Pairs pairs={hands} width={24} theme={theme} />
    </Box>
  );
}

function Pairs({ pairs, width, theme }: { pairs: readonly [string, string][]; width: number; theme: Theme }) {
  return (
    <>
      {pairs.map(([key, what]) => (
        <Row key={key} theme={theme}>
          <Span text={`  ${key.padEnd(width)}`} tone="strong" theme={theme} />
          <Span text={what} theme={theme} />
        </Row>
      ))}
    </>
  );
}

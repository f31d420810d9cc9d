import { Box } from 'ink';
import type { Ask } from '../../../view/job/ask.ts';
import type { Headline } from '../../../view/job/headline.ts';
import { bigMarked, bigText } from './big-text.ts';
import { Line, Row, Span } from './row.tsx';
import { markText, strokesOf, type Theme } from './theme.ts';

interface AreaProps {
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * What is seen first from a metre: the headline if there is one, else the pads to touch, each with
 * its tip.
 */
export function BigArea({ ask, headline, ...area }: AreaProps & { ask: Ask | null; headline: Headline | null }) {
  if (headline !== null) return <BigHeadline headline={headline} {...area} />;
  const presses = ask?.presses ?? null;
  if (presses !== null && presses.done > 0) return <BigWord word={`${presses.done}/${presses.of}`} {...area} />;
  if (ask === null || ask.pads.length === 0) return <BigWord word={padlessWord(ask)} {...area} />;
  return <BigPads ask={ask} {...area} />;
}

function padlessWord(ask: Ask | null): string {
  if (ask === null || ask.tips === null) return '';
  return ask.tips === 'together' ? 'A + B' : 'OFF';
}

function BigHeadline({ headline, cols, rows, theme }: AreaProps & { headline: Headline }) {
  const { word, mark, tone } = headline;
  const marked = mark === null ? word : `${markText(mark, theme)} ${word}`;
  const dot = strokesOf(theme).block;
  const big = (mark && bigMarked(mark, word, cols, rows, dot)) ?? bigText(word, cols, rows, dot);
  if (big === null) {
    return (
      <Box height={rows} flexShrink={0}>
        <Line text={` ${marked} `} tone={tone} theme={theme} />
      </Box>
    );
  }
  return (
    <Box flexDirection="column" height={rows} flexShrink={0}>
      {big.lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} tone={tone === 'danger' ? 'fail' : tone} theme={theme} />
      ))}
    </Box>
  );
}

function BigWord({ word, cols, rows, theme }: AreaProps & { word: string }) {
  const big = word === '' ? null : bigText(word, cols, rows, strokesOf(theme).block);
  const lines = big?.lines ?? [word];
  return (
    <Box flexDirection="column" height={rows} flexShrink={0}>
      {lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} tone="strong" theme={theme} />
      ))}
    </Box>
  );
}

function BigPads({ ask, cols, rows, theme }: AreaProps & { ask: Ask }) {
  const half = Math.floor(cols / Math.max(1, ask.pads.length));
  const dot = strokesOf(theme).block;
  const drawn = ask.pads.map((pad) => bigText(pad.pad, half - 5, rows, dot));
  const alike = drawn.every((big) => big !== null && big.lines.length === drawn[0]?.lines.length);
  if (!alike) {
    return (
      <Box height={rows} flexShrink={0}>
        <Line text={ask.pads.map(({ tip, pad }) => `${tip}: ${pad}`).join('   ')} tone="strong" theme={theme} />
      </Box>
    );
  }
  return (
    <Box height={rows} flexShrink={0}>
      {ask.pads.map(({ tip }, index) => (
        <Box key={tip} width={half} flexShrink={0} flexDirection="column" overflow="hidden">
          {drawn[index]!.lines.map((line, row) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
            <Row key={row} theme={theme}>
              <Span text={row === 0 ? `${tip}:  ` : '    '} tone="strong" theme={theme} />
              <Span text={line} tone="strong" theme={theme} />
            </Row>
          ))}
        </Box>
      ))}
    </Box>
  );
}

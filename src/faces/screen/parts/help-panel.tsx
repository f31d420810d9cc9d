import { Box } from 'ink';
import type { Headline } from '../../../view/job/headline.ts';
import type { HelpSection, HelpView } from '../../../view/words/key-help.ts';
import { Line, Row, Span } from './row.tsx';
import { markText, type Theme } from './theme.ts';

interface HelpProps {
  help: HelpView;
  /** Trouble is said over the help too. */
  headline: Headline | null;
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * All keys, what the hands do without any, and what the marks say; on as many pages as it takes.
 * Measuring goes on beneath.
 */
export function HelpPanel({ help, headline, cols, rows, theme }: HelpProps) {
  const heads = headline === null ? 1 : 2;
  const pages = helpPages(help.sections, rows - heads, theme);
  const at = help.page % pages.length;
  const hint = pages.length === 1 ? 'any key goes back' : `${at + 1} of ${pages.length}; ? goes on, any other key back`;
  return (
    <Box flexDirection="column" width={cols} height={rows} overflow="hidden">
      {headline !== null && <Line text={`${headline.word}  ${headline.text}`} tone={headline.tone} theme={theme} />}
      <Line text={`Help (${hint})`} tone="quiet" theme={theme} />
      {pages[at]!.map((row) => (
        <HelpRow key={`${row.left} ${row.right}`} row={row} theme={theme} />
      ))}
    </Box>
  );
}

/** A heading has nothing on its right; `width` is that of the left column, with a blank behind it. */
interface HelpLine {
  left: string;
  right: string | null;
  width: number;
}

function HelpRow({ row: { left, right, width }, theme }: { row: HelpLine; theme: Theme }) {
  if (right === null) return <Line text={left} tone="strong" theme={theme} />;
  return (
    <Row theme={theme}>
      <Span text={`  ${left.padEnd(width)}`} tone="strong" theme={theme} />
      <Span text={right} theme={theme} />
    </Row>
  );
}

/** Sections stay whole where a page has room for one; a longer one goes on under its heading. */
function helpPages(sections: readonly HelpSection[], rows: number, theme: Theme): HelpLine[][] {
  const pages: HelpLine[][] = [];
  for (const section of sections) {
    const heading: HelpLine = { left: section.heading, right: null, width: 0 };
    let left = linesOf(section, theme);
    const last = pages.at(-1);
    if (last !== undefined && last.length + 1 + left.length <= rows) {
      last.push(heading, ...left);
      continue;
    }
    for (; left.length > 0; left = left.slice(rows - 1)) pages.push([heading, ...left.slice(0, rows - 1)]);
  }
  return pages;
}

function linesOf(section: HelpSection, theme: Theme): HelpLine[] {
  const pairs =
    'marks' in section
      ? section.marks.map(([mark, meaning]) => [markText(mark, theme), meaning] as const)
      : section.pairs;
  const width = Math.max(...pairs.map(([left]) => left.length)) + 2;
  return pairs.map(([left, right]) => ({ left, right, width }));
}

import stringWidth from 'string-width';
import { percent } from '../../../statistics/percent.ts';
import type { NextCheck, SuspectRow } from '../../../view/job/isolation.ts';
import { cutText, firstCols, fitText } from '../../../view/text/fit-text.ts';
import { Line, Row, Span } from '../parts/row.tsx';
import { drawable, strokesOf, type Theme } from '../parts/theme.ts';

interface SuspectProps {
  suspects: readonly SuspectRow[];
  next: NextCheck | null;
  /** The readings are not explained well. */
  isDoubtful: boolean;
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * What may be wrong: a name, a number and a bar each; below them, what comes next once that is
 * known.
 */
export function SuspectList({ suspects, next, isDoubtful, cols, rows, theme }: SuspectProps) {
  const shown = suspects.slice(0, suspectsIn(rows));
  const nameCols = Math.max(8, Math.min(longest(shown), cols - shareCols - Math.max(leastBar, Math.floor(cols / 4))));
  const barCols = cols - nameCols - shareCols;
  return (
    <>
      <Line text={isDoubtful ? 'What is likely (in doubt)' : 'What is likely'} tone="strong" theme={theme} />
      {shown.map(({ text, units, share }, index) => (
        <Row key={text} theme={theme}>
          <Span
            text={fitText(drawable(shortName(text, units, nameCols), theme), nameCols)}
            tone={index === 0 ? 'strong' : 'plain'}
            theme={theme}
          />
          <Span text={`${percent(share).padStart(shareCols - 1)} `} theme={theme} />
          <Span text={strokesOf(theme).barOn.repeat(Math.round(share * barCols))} theme={theme} />
        </Row>
      ))}
      <Line text={next === null ? '' : cutText(`next: ${next.check}`, cols)} theme={theme} />
    </>
  );
}

/** Rows for the number with a space on either side. */
const shareCols = 8;
const leastBar = 5;

/** Returns how many rows the list takes; 0 when there is nothing to tell. */
export function suspectHeight(suspects: readonly SuspectRow[], rows: number): number {
  return suspects.length === 0 ? 0 : 2 + Math.min(suspects.length, suspectsIn(rows));
}

function suspectsIn(rows: number): number {
  return rows < 24 ? 3 : 5;
}

function longest(suspects: readonly SuspectRow[]): number {
  return Math.max(0, ...suspects.map(({ text }) => stringWidth(text)));
}

/**
 * Of what lies between two units both are named: whole where there is room, else by the words that
 * tell them apart, cut only where even these are too long.
 */
function shortName(text: string, units: readonly string[], cols: number): string {
  if (stringWidth(text) <= cols || units.length < 2) return text;
  const told = units.map((unit) => unit.replace(/ (?:unit|board|module|assembly|part)$/i, ''));
  const last = told.map((unit) => unit.split(' ').at(-1)!);
  const fits = [units, told, last].map((names) => names.join(' / ')).find((name) => stringWidth(name) <= cols);
  if (fits !== undefined) return fits;
  const each = Math.floor((cols - 3 * (units.length - 1)) / units.length);
  return last.map((unit) => firstCols(unit, each).trim()).join(' / ');
}

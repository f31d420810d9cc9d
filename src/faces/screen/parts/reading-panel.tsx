import { Box } from 'ink';
import type { JobView } from '../../../view/job/job-view.ts';
import { fitText, wrapLines } from '../../../view/text/fit-text.ts';
import type { Tone } from '../../../view/words/outcome.ts';
import type { ReadingParts } from '../../../view/words/reading.ts';
import { bigText } from './big-text.ts';
import { Line, Row, Span } from './row.tsx';
import { strokesOf, type Theme } from './theme.ts';

/** The contact as the reading panel tells it. */
type ContactView = Pick<JobView['contact'], 'text' | 'settling' | 'progress'>;

interface ReadingProps {
  reading: ReadingParts & { held: boolean };
  /** Span of a number that is not what the tips read now. */
  heldText?: string;
  /** Texts in the place of the number while there is none. */
  before?: readonly string[];
  contact: ContactView;
  cols: number;
  /** 1: plain text, and a row for the contact below it; else large. */
  rows: number;
  tone: Tone;
  theme: Theme;
}

/** Room for unit, uncertainty and contact beside the number. */
const besideCols = 15;

/**
 * The number, large where there is room, its unit and uncertainty beside it, then the contact with
 * its progress.
 */
export function ReadingPanel({
  reading,
  heldText = 'on record',
  before = [],
  contact,
  cols,
  rows,
  tone,
  theme,
}: ReadingProps) {
  const numberCols = cols - besideCols - 2;
  const noNumber = reading.number === '---';
  const big = rows < 5 || noNumber ? null : bigText(reading.number, numberCols, rows, strokesOf(theme).block);
  const waiting = before.length === 0 ? ['', reading.number] : before.flatMap((text) => wrapLines(text, numberCols, 3));
  const lines = noNumber ? waiting : (big?.lines ?? []);
  const bar = progressBar(contact.progress, besideCols - 3, theme);
  const held = reading.held ? heldText : '';
  if (rows < 5 || (big === null && !noNumber)) {
    const whole = [reading.number, reading.unit, reading.beside].filter((part) => part !== '').join(' ');
    const extra = Math.max(0, rows - 2);
    return (
      <Box flexDirection="column" flexShrink={0} height={Math.max(2, rows)}>
        <Row theme={theme}>
          <Span text={whole} tone={tone} theme={theme} />
          <Span text={held === '' ? '' : `  ${held}`} theme={theme} />
        </Row>
        <Line text={`${contact.text}  ${bar}`} theme={theme} />
        {extra > 0 && <Box height={extra} flexShrink={0} />}
      </Box>
    );
  }
  const beside = new Map<number, { text: string; tone: Tone }>([
    [0, { text: reading.unit, tone: 'strong' }],
    [1, { text: reading.beside, tone: 'plain' }],
    [2, { text: held, tone: 'plain' }],
    [rows - 2, { text: contact.text, tone: 'plain' }],
    [rows - 1, { text: bar, tone: 'plain' }],
  ]);
  return (
    <Box flexDirection="column" flexShrink={0} height={rows}>
      {Array.from({ length: rows }, (_, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Row key={index} theme={theme}>
          <Span text={fitText(lines[index] ?? '', numberCols)} tone={noNumber ? 'plain' : tone} theme={theme} />
          <Span text={`  ${beside.get(index)?.text ?? ''}`} tone={beside.get(index)?.tone ?? 'plain'} theme={theme} />
        </Row>
      ))}
    </Box>
  );
}

function progressBar(progress: number, cols: number, theme: Theme): string {
  const strokes = strokesOf(theme);
  if (progress <= 0) return '';
  const on = Math.round(Math.min(1, Math.max(0, progress)) * cols);
  return `${strokes.barOn.repeat(on)}${strokes.barOff.repeat(cols - on)}`;
}

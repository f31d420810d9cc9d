import { Box } from 'ink';
import type { JobView, Question } from '../../../view/job/job-view.ts';
import { bigText } from '../parts/big-text.ts';
import type { Layout } from '../parts/layout.ts';
import { Line, Paragraph, Row, Span } from '../parts/row.tsx';
import { strokesOf, type Theme } from '../parts/theme.ts';
import { ActionLine, accessText } from './ask-lines.tsx';

interface QuestionProps {
  view: JobView;
  question: Extract<Question, { kind: 'caution' | 'look' }>;
  layout: Layout;
  theme: Theme;
}

/** What only a person can say, with the keys that say it. */
export function QuestionPanel({ view, question, layout, theme }: QuestionProps) {
  const { leftCols, bodyRows } = layout;
  const cols = leftCols - 1;
  const isCaution = question.kind === 'caution';
  const word = bodyRows < 14 ? null : bigText(isCaution ? 'CAUTION' : 'LOOK', cols, 5, strokesOf(theme).block);
  const room = bodyRows - 8 - (word === null ? 0 : 6);
  return (
    <Box flexDirection="column" width={leftCols} height={bodyRows} paddingRight={1} overflow="hidden">
      {word?.lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} tone={isCaution ? 'doubt' : 'strong'} theme={theme} />
      ))}
      {word !== null && <Line text="" theme={theme} />}
      <Line text={view.ask?.title ?? ''} tone="strong" theme={theme} />
      <ActionLine ask={view.ask} theme={theme} />
      {question.kind === 'look' && (
        <Paragraph text={accessText(view.ask?.access ?? null)} cols={cols} most={2} theme={theme} />
      )}
      {question.kind === 'look' && (
        <Paragraph text={question.how} cols={cols} most={Math.max(1, room - 3)} theme={theme} />
      )}
      <Paragraph
        text={question.text}
        cols={cols}
        most={Math.max(2, isCaution ? room : 3)}
        tone="strong"
        theme={theme}
      />
      <Line text="" theme={theme} />
      {question.kind === 'caution' ? (
        <>
          <Row theme={theme}>
            <Span text="Read and understood: type " theme={theme} />
            <Span text={question.id} tone="strong" theme={theme} />
            <Span text=" and Enter" theme={theme} />
          </Row>
          <Line text={`> ${question.named}_`} tone="strong" theme={theme} />
        </>
      ) : (
        <Line text="y  yes     n  no     u  unsure" tone="strong" theme={theme} />
      )}
    </Box>
  );
}

import { Box } from 'ink';
import type { Outcome } from '../../../measure/types.ts';
import type { JobView } from '../../../view/job/job-view.ts';
import { outcomeWords } from '../../../view/words/outcome.ts';
import { Line } from '../parts/row.tsx';
import { markText, type Theme } from '../parts/theme.ts';
import { CheckList } from './check-list.tsx';
import { SuspectList, suspectHeight } from './suspect-list.tsx';

interface RightProps {
  view: JobView;
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * Beside the reading: checks with their outcomes, what tells suspects apart, cautions that apply
 * now, the probe's health.
 */
export function RightPanel({ view, cols, rows, theme }: RightProps) {
  const notes = [...cautionLines(view, theme), ...healthLines(view, rows, theme)];
  const suspectRows = suspectHeight(view.suspects, rows);
  const listRows = Math.max(3, rows - notes.length - 1 - suspectRows);
  return (
    <Box flexDirection="column" width={cols} height={rows} overflow="hidden">
      <CheckList rows={view.checks} cursor={view.cursor} cols={cols} height={listRows} theme={theme} />
      <Line text="" theme={theme} />
      {suspectRows > 0 && (
        <SuspectList
          suspects={view.suspects}
          next={view.next}
          isDoubtful={view.doubt !== null}
          cols={cols}
          rows={rows}
          theme={theme}
        />
      )}
      {notes.map(({ text, strong }, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={text} tone={strong ? 'strong' : 'plain'} theme={theme} />
      ))}
    </Box>
  );
}

interface Note {
  text: string;
  strong: boolean;
}

function cautionLines({ cautions }: JobView, theme: Theme): Note[] {
  return cautions.slice(0, 3).map(({ title }) => ({ text: `${markText('caution', theme)} ${title}`, strong: true }));
}

/** Fits the narrowest panel. */
const driftLine = 'probe DRIFTS: `health`';

function healthLines({ link, job }: JobView, rows: number, theme: Theme): Note[] {
  const proof = (outcomes: (Outcome | null)[]) =>
    outcomes.map((outcome) => markText(outcome === null ? 'none' : outcomeWords[outcome].mark, theme)).join('');
  const lines = [
    `${link.ok ? 'link ok' : 'NO LINK'}  gaps ${link.gaps}  lost ${link.lost}`,
    `proof ${proof(link.proofs.opening)} before, ${proof(link.proofs.closing)} after`,
  ];
  if (link.drifts) lines.push(driftLine);
  if (link.calibration !== '') lines.push(link.calibration);
  if (rows > 22 && job.symptom !== '') lines.push(`symptom: ${job.symptom}`);
  if (rows > 22 && job.serial !== '') lines.push(`serial: ${job.serial}`);
  return lines.map((text, index) => ({ text, strong: (index === 0 && !link.ok) || text === driftLine }));
}

import { Box } from 'ink';
import type { Ask } from '../../../view/job/ask.ts';
import type { Headline } from '../../../view/job/headline.ts';
import { wrapLines } from '../../../view/text/fit-text.ts';
import { Line, Row, Span } from '../parts/row.tsx';
import type { Theme } from '../parts/theme.ts';

/** Power, and what to do; a change of power stands out. */
export function ActionLine({ ask, theme }: { ask: Ask | null; theme: Theme }) {
  if (ask === null) return <Line text="" theme={theme} />;
  const { power, action, presses } = ask;
  const done = presses === null ? '' : `  ${presses.done} of ${presses.of}`;
  return (
    <Row theme={theme}>
      <Span text={powerText(power)} tone={power?.change === true ? 'danger' : 'strong'} theme={theme} />
      <Span text={`${power === null ? '' : '  '}${action}${done}`} tone="strong" theme={theme} />
    </Row>
  );
}

function powerText(power: Ask['power']): string {
  if (power === null) return '';
  return power.change ? ` POWER ${power.to.toUpperCase()} NOW ` : `POWER ${power.to.toUpperCase()}`;
}

interface DetailsProps {
  details: readonly string[];
  headline: Headline | null;
  cols: number;
  rows: number;
  theme: Theme;
}

/**
 * Where the pads are and what else there is room for; in its place, the sentence of the headline.
 */
export function Details({ details, headline, cols, rows, theme }: DetailsProps) {
  const lines = headline === null ? details : wrapLines(headline.text, cols, rows);
  return (
    <Box flexDirection="column" height={rows} flexShrink={0} overflow="hidden">
      {lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} theme={theme} />
      ))}
    </Box>
  );
}

/**
 * What is to be read before a touch, in two places: below the pads, and where the number will
 * stand.
 */
export interface AskTexts {
  details: string[];
  /**
   * A changed state of disassembly (to be made first), and the guide's words where they found no
   * room below the pads.
   */
  beforeNumber: string[];
}

/**
 * Returns the texts of an ask; places of the pads come first and whole, then what there is room
 * for. `isFirstTold`: the change that comes first stands elsewhere.
 */
export function askTexts(ask: Ask | null, cols: number, rows: number, isFirstTold = false): AskTexts {
  if (ask === null) return { details: [], beforeNumber: [] };
  const { access, pads, how } = ask;
  const isChange = access?.change === true;
  const places = pads.map(({ tip, pad, where }) => `${tip}: ${pad}  ${where}`);
  const details: string[] = [];
  const left = (): number => rows - details.length;
  places.forEach((place, i) => {
    // every place still to come gets a row at least
    details.push(...wrapLines(place, cols, Math.min(3, left() - (places.length - 1 - i))));
  });
  if (access !== null && !isChange) details.push(...wrapLines(access.name, cols, Math.min(2, left())));
  const words = wrapLines(how, cols, 3);
  const isShown = words.length <= left();
  if (isShown) details.push(...words);
  return {
    details,
    beforeNumber: [...(isChange && !isFirstTold ? [accessText(access)] : []), ...(isShown ? [] : [how])],
  };
}

/** Returns the state of disassembly in words; one that has to be made first says so. */
export function accessText(access: Ask['access']): string {
  if (access === null) return '';
  return access.change ? `First: ${access.name}` : access.name;
}

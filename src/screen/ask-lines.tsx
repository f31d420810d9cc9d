import { Box } from 'ink';
import type { Ask } from '../bench/ui-ask.ts';
import type { Headline } from '../bench/ui-headline.ts';
import { wrapLines } from './layout.ts';
import { Line, Row, Said } from './row.tsx';
import type { Theme } from './theme.ts';

/** Power, and what to do; a change of power stands out. */
export function ActionLine({ ask, theme }: { ask: Ask | null; theme: Theme }) {
  if (ask === null) return <Line text="" theme={theme} />;
  const { power, action, presses } = ask;
  const done = presses === null ? '' : `  ${presses.done} of ${presses.of}`;
  return (
    <Row theme={theme}>
      <Said text={powerText(power)} tone={power?.change === true ? 'danger' : 'strong'} theme={theme} />
      <Said text={`${power === null ? '' : '  '}${action}${done}`} tone="strong" theme={theme} />
    </Row>
  );
}

function powerText(power: Ask['power']): string {
  if (power === null) return '';
  return power.change ? ` POWER ${power.to.toUpperCase()} NOW ` : `POWER ${power.to.toUpperCase()}`;
}

interface DetailsProps {
  ask: Ask | null;
  headline: Headline | null;
  cols: number;
  rows: number;
  theme: Theme;
}

/** Where the pads are, the state of disassembly, the guide's words; in their place, the sentence of the headline. */
export function Details({ ask, headline, cols, rows, theme }: DetailsProps) {
  const lines = headline === null ? detailLines(ask, cols, rows) : wrapLines(headline.text, cols, rows);
  return (
    <Box flexDirection="column" height={rows} flexShrink={0} overflow="hidden">
      {lines.map((line, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows have no other name
        <Line key={index} text={line} theme={theme} />
      ))}
    </Box>
  );
}

/** Rows go to what the hands need first: where the pads are, then what has to be taken apart, then the guide's words. */
export function detailLines(ask: Ask | null, cols: number, rows: number): string[] {
  if (ask === null) return [];
  const { access, pads, how } = ask;
  const places = pads.map(({ tip, pad, where }): Detail => ({ text: `${tip}: ${pad}  ${where}`, needs: [0, 2] }));
  const state: Detail = { text: accessText(access), needs: access?.change === true ? [1, 3] : [4, 5] };
  const words: Detail = { text: how, needs: [6, 7, 8] };
  const order = access?.change === true ? [state, ...places, words] : [...places, state, words];
  const wanted = order.map((detail) => ({
    ...detail,
    lines: wrapLines(detail.text, cols, detail.needs.length),
    most: 0,
  }));
  let spare = rows;
  for (let need = 0; need <= 8; need++) {
    for (const item of wanted) {
      if (spare === 0 || !item.needs.includes(need) || item.most >= item.lines.length) continue;
      item.most += 1;
      spare -= 1;
    }
  }
  return wanted.flatMap(({ text, most }) => wrapLines(text, cols, most));
}

interface Detail {
  text: string;
  /** In which round its first, second ... row is given. */
  needs: number[];
}

/** Returns the state of disassembly in words; one that has to be made first says so. */
export function accessText(access: Ask['access']): string {
  if (access === null) return '';
  return access.change ? `First: ${access.name}` : access.name;
}

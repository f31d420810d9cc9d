import wrapAnsi from 'wrap-ansi';
import { percent } from '../../../statistics/percent.ts';
import { marks } from '../../../view/words/mark.ts';
import type { Tone } from '../../../view/words/outcome.ts';
import { partWords } from '../../../view/words/part.ts';
import type { PathPart } from '../../pictures/device-path.ts';

/** Classes of the stylesheet by tone; what is not decided has none. */
const classes: Partial<Record<Tone, string>> = { pass: 'good', fail: 'bad', doubt: 'open', strong: 'accent' };

/** States beside which a probability says something. */
const counts: ReadonlySet<PathPart['state']> = new Set(['at-fault', 'suspect', 'unknown']);

const boxWidth = 150;
const gap = 26;
const rowHeight = 112;
const aRow = 5;

/**
 * The device from the key to the main board, part by part, each with a word and a mark; words also
 * stand in a list for who can't see it.
 */
export function PathPicture({ parts }: { parts: readonly PathPart[] }) {
  if (parts.length === 0) return null;
  const columns = Math.min(aRow, parts.length);
  const rows = Math.ceil(parts.length / aRow);
  const width = columns * (boxWidth + gap) - gap + 8;
  const spoken = parts.map(({ name, state }) => `${name}: ${partWords[state].word}`).join('; ');
  return (
    <figure>
      <div className="wide">
        <svg
          viewBox={`0 0 ${width} ${rows * rowHeight}`}
          width={width}
          height={rows * rowHeight}
          role="img"
          aria-label={`Path through the device. ${spoken}`}
        >
          {parts.map((part, i) => (
            <Part
              key={part.id}
              part={part}
              x={4 + (i % aRow) * (boxWidth + gap)}
              y={4 + Math.floor(i / aRow) * rowHeight}
              isLast={i === parts.length - 1 || i % aRow === aRow - 1}
            />
          ))}
        </svg>
      </div>
      <figcaption>
        From the key to the main board, the way its signal goes; parts beside the way come last. Dashed: what joins two
        units.
      </figcaption>
    </figure>
  );
}

function Part({ part, x, y, isLast }: { part: PathPart; x: number; y: number; isLast: boolean }) {
  const { word, mark, tone } = partWords[part.state];
  const lines = wrapped(part.name, 22);
  return (
    <g>
      <rect
        className={`part ${classes[tone] ?? ''}`}
        x={x}
        y={y}
        width={boxWidth}
        height={82}
        rx={part.kind === 'unit' ? 4 : 26}
        strokeDasharray={part.kind === 'interface' ? '6 3' : undefined}
      />
      {lines.map((line, i) => (
        <text key={line} x={x + boxWidth / 2} y={y + 20 + i * 13} textAnchor="middle">
          {line}
        </text>
      ))}
      <text x={x + boxWidth / 2} y={y + 72} textAnchor="middle" fontWeight="700">
        {marks[mark].unicode} {word}
        {part.p === null || !counts.has(part.state) ? '' : ` (${percent(part.p)})`}
      </text>
      {!isLast && <line className="axis" x1={x + boxWidth} x2={x + boxWidth + gap} y1={y + 41} y2={y + 41} />}
    </g>
  );
}

/** Returns a text in at most three lines of about `most` characters. */
function wrapped(text: string, most: number): string[] {
  const lines = wrapAnsi(text, most).split('\n');
  return lines.length <= 3 ? lines : [...lines.slice(0, 2), `${lines[2]} \u2026`];
}

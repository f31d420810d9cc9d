import { bin, extent, max } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { formatQuantity } from '../../../measure/reading/format.ts';
import type { EntryOf } from '../../../record/entries/entries.ts';

const width = 280;
const height = 96;
const bottom = 30;

/** How often a key closed at which resistance; presses that missed are told in words. */
export function PressPicture({ entry }: { entry: EntryOf<'presses'> }) {
  const closed = entry.presses.flatMap(({ reading }) =>
    reading === null || reading.state !== 'in-range' ? [] : [reading.value],
  );
  const missed = entry.presses.filter((press) => press.missed).length;
  const bad = entry.presses.filter(({ outcome }) => outcome === 'fail').length;
  const words = `${entry.check}, attempt ${entry.attempt}: ${entry.presses.length} presses, ${bad} bad, ${missed} missed`;
  const [low, high] = extent(closed);
  if (low === undefined || high === undefined) return <p>{words}; none closed.</p>;
  const bins = bin()
    .domain([low, high === low ? low * 1.001 + 1e-6 : high])
    .thresholds(12)(closed);
  const x = scaleLinear([bins[0]!.x0!, bins.at(-1)!.x1!], [8, width - 8]);
  const y = scaleLinear([0, max(bins, (one) => one.length) ?? 1], [height - bottom, 8]);
  return (
    <figure>
      <svg
        viewBox={`0 0 ${width} ${height}`}
        width={width}
        height={height}
        role="img"
        aria-label={`${words}; closed between ${formatQuantity(low, 'resistance')} and ${formatQuantity(high, 'resistance')}`}
      >
        {bins.map((one) => (
          <rect
            key={one.x0}
            className="bar"
            x={x(one.x0!) + 0.5}
            width={Math.max(1, x(one.x1!) - x(one.x0!) - 1)}
            y={y(one.length)}
            height={height - bottom - y(one.length)}
          />
        ))}
        <line className="axis" x1={8} x2={width - 8} y1={height - bottom} y2={height - bottom} />
        <text x={8} y={height - 14}>
          {formatQuantity(low, 'resistance')}
        </text>
        <text x={width - 8} y={height - 14} textAnchor="end">
          {formatQuantity(high, 'resistance')}
        </text>
      </svg>
      <figcaption>{words}</figcaption>
    </figure>
  );
}

import type { PicturePlace } from './shown-part.ts';

/** Where a tip stands: A round, B square, each with its letter. */
export function TipMark({ tip, x, y, size = 13 }: PicturePlace & { tip: 'A' | 'B'; size?: number }) {
  return (
    <g className={`tip tip-${tip.toLowerCase()}`}>
      {tip === 'A' ? (
        <circle cx={x} cy={y} r={size} />
      ) : (
        <rect x={x - size} y={y - size} width={2 * size} height={2 * size} />
      )}
      <text x={x} y={y + size * 0.42} textAnchor="middle" fontSize={size * 1.25}>
        {tip}
      </text>
    </g>
  );
}

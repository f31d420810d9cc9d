import { extent } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { formatQuantity } from '../../../measure/reading/format.ts';
import type { Curve } from '../../pictures/curves.ts';

const width = 280;
const height = 96;
const left = 96;
const bottom = 18;

/** A captured trace: what the settled window read, code by code. */
export function CurvePicture({ curve }: { curve: Curve }) {
  const { values, periodUs, quantity, label } = curve;
  const finite = values.filter(Number.isFinite);
  const [low, high] = extent(finite);
  if (low === undefined || high === undefined || finite.length < 2) return null;
  const margin = Math.max((high - low) * 0.2, Math.abs(high) * 1e-4, 1e-6);
  const x = scaleLinear([0, ((values.length - 1) * periodUs) / 1e3], [left, width - 6]);
  const y = scaleLinear([low - margin, high + margin], [height - bottom, 6]);
  const points = values
    .map((value, i): [number, number] => [(i * periodUs) / 1e3, value])
    .filter(([, value]) => Number.isFinite(value));
  const path = line<[number, number]>(
    ([ms]) => x(ms),
    ([, value]) => y(value),
  )(points);
  return (
    <figure>
      <svg
        viewBox={`0 0 ${width} ${height}`}
        width={width}
        height={height}
        role="img"
        aria-label={`${label}: ${finite.length} readings between ${formatQuantity(low, quantity)} and ${formatQuantity(high, quantity)}`}
      >
        <path className="axis" d={`M ${left} 6 V ${height - bottom} H ${width - 6}`} />
        <text x={left - 4} y={14} textAnchor="end">
          {formatQuantity(high, quantity)}
        </text>
        <text x={left - 4} y={height - bottom} textAnchor="end">
          {formatQuantity(low, quantity)}
        </text>
        <text x={width - 6} y={height - 4} textAnchor="end">
          {Math.round(((values.length - 1) * periodUs) / 1e3)} ms
        </text>
        <path className="curve" d={path ?? ''} />
      </svg>
      <figcaption>{label}</figcaption>
    </figure>
  );
}

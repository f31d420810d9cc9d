import type { Needle, Scale } from '../../view/readings/scale.ts';

const width = 600;
const height = 74;
const edge = 30;
const axis = 40;

/** The reading on the scale of its limits: the band where it may be, and a needle. */
export function ScalePicture({ scale, needle }: { scale: Scale; needle: Needle | null }) {
  const x = (at: number): number => edge + at * (width - 2 * edge);
  const where =
    needle === null ? 'no reading' : needle.off === null ? placeText(scale, needle) : `off the scale, ${needle.off}`;
  return (
    <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`Scale of the limits: ${where}`} className="scale">
      {scale.band !== null && (
        <rect
          className="band"
          x={x(scale.band.from)}
          width={Math.max(2, x(scale.band.to) - x(scale.band.from))}
          y={12}
          height={28}
        />
      )}
      <line className="axis" x1={edge} x2={width - edge} y1={axis} y2={axis} />
      {scale.ticks.map(({ at, text }) => (
        <g key={text}>
          <line className="axis" x1={x(at)} x2={x(at)} y1={axis} y2={axis + 6} />
          <text x={x(at)} y={axis + 24} textAnchor={at < 0.05 ? 'start' : at > 0.95 ? 'end' : 'middle'}>
            {text}
          </text>
        </g>
      ))}
      {needle !== null && <path className="needle" d={`M ${x(needle.at) - 7} 2 h 14 l -7 36 z`} />}
    </svg>
  );
}

function placeText({ band }: Scale, { at }: Needle): string {
  if (band === null) return 'on the scale';
  return at >= band.from && at <= band.to ? 'inside' : at < band.from ? 'below' : 'above';
}

import { scaleLinear, scaleLog } from 'd3-scale';
import { formatQuantity } from '../../../measure/reading/format.ts';
import type { Limits } from '../../../measure/types.ts';
import { limitDomain } from '../../pictures/limit-domain.ts';
import type { CheckLine, ReportedOutcome } from '../../report-data.ts';

const width = 260;
const height = 46;
const edge = 12;
/** Room that a limit's name takes. */
const nameRoom = 70;

/**
 * Each reading of a check as a dot with its 95 % interval on the band of its limits; before hollow,
 * after full.
 */
export function LimitPicture({ check }: { check: CheckLine }) {
  const { limits, before, after, title } = check;
  const seen = [before, after].filter((one): one is ReportedOutcome => one?.shown != null);
  if (limits === null || seen.length === 0) return null;
  const { low: from, high: to, least } = limitDomain(limits, seen);
  const range = [edge + 14, width - edge - 14];
  const scale = limits.quantity === 'resistance' ? scaleLog([from, to], range) : scaleLinear([from, to], range);
  const at = (value: number): number => Math.max(edge, Math.min(width - edge, scale(Math.max(least, value))));
  const low = limits.min === undefined ? edge : at(limits.min);
  const high = limits.max === undefined ? width - edge : at(limits.max);
  const words = seen.map((one) => `${one === after ? 'after' : 'before'} ${one.shown!.text}`).join(', ');
  return (
    <svg
      viewBox={`0 0 ${width} ${height}`}
      width={width}
      height={height}
      role="img"
      aria-label={`${title}: ${words}; limits ${check.limitsText}`}
    >
      <rect className="band" x={low} y={6} width={Math.max(2, high - low)} height={22} />
      <line className="axis" x1={edge} x2={width - edge} y1={28} y2={28} />
      {limits.min !== undefined && <LimitName x={low} value={limits.min} limits={limits} anchor="end" />}
      {limits.max !== undefined && <LimitName x={high} value={limits.max} limits={limits} anchor="start" />}
      {seen.map((one) => (
        <Dot key={one.n} standing={one} isAfter={one === after} at={at} />
      ))}
    </svg>
  );
}

/**
 * A lower limit is named to its left, an upper one to its right, so that two near ones don't meet;
 * turned round at the edges.
 */
function LimitName(props: { x: number; value: number; limits: Limits; anchor: 'start' | 'end' }) {
  const { x, value, limits, anchor } = props;
  const turned = anchor === 'end' ? x < nameRoom : x > width - nameRoom;
  const textAnchor = turned ? (anchor === 'end' ? 'start' : 'end') : anchor;
  return (
    <text x={x} y={41} textAnchor={textAnchor}>
      {formatQuantity(value, limits.quantity)}
    </text>
  );
}

function Dot({
  standing,
  isAfter,
  at,
}: {
  standing: ReportedOutcome;
  isAfter: boolean;
  at: (value: number) => number;
}) {
  const { value, expanded, state } = standing.shown!;
  const y = isAfter ? 12 : 22;
  const className = isAfter ? 'mark full' : 'mark';
  if (state === 'above-range')
    return <path className={className} d={`M ${width - edge - 8} ${y - 4} l 8 4 l -8 4 z`} />;
  if (state === 'below-range') return <path className={className} d={`M ${edge + 8} ${y - 4} l -8 4 l 8 4 z`} />;
  if (state === 'unreadable') return null;
  const x = at(value);
  return (
    <g>
      <line className="mark" x1={at(value - expanded)} x2={at(value + expanded)} y1={y} y2={y} />
      <circle className={className} cx={x} cy={y} r={3.5} />
    </g>
  );
}

import type { Diagram, Place } from './lay-out.ts';

/** What is pointed out on a drawing. */
export interface Pointed {
  /** Nodes that the tips stand on now. */
  tips: { tip: 'A' | 'B'; node: string }[];
  /** Units or links at which the fault is. */
  faultAt?: readonly string[];
}

/** Room around the tips, in units of the drawing. */
const margin = 90;
/** The part that is shown is never smaller than this share of the drawing. */
const leastShare = 0.45;

/**
 * The drawing of a device. With tips on it, it is zoomed to where they stand.
 *
 * @param title what a person who can't see it hears
 */
export function DiagramPicture({ diagram, pointed, title }: { diagram: Diagram; pointed: Pointed; title: string }) {
  const { tips, faultAt = [] } = pointed;
  const places = tips.flatMap(({ tip, node }) => {
    const point = diagram.points.find(({ id }) => id === node);
    return point === undefined ? [] : [{ tip, x: point.x, y: point.y }];
  });
  return (
    <svg viewBox={windowOf(diagram, places)} role="img" aria-label={title} className="diagram">
      {diagram.boards.map(({ id, name, x, y, width, height }) => (
        <g key={id}>
          <rect className={faultAt.includes(id) ? 'board fault' : 'board'} {...{ x, y, width, height }} rx={6} />
          <text className="name" x={x + 10} y={y + 18}>
            {name}
          </text>
        </g>
      ))}
      {diagram.lines.map(({ id, bends, isJoint }) => (
        <polyline
          key={id}
          className={`line${isJoint ? ' joint' : ''}${faultAt.includes(id) ? ' fault' : ''}`}
          points={bends.map(({ x, y }) => `${x},${y}`).join(' ')}
        />
      ))}
      {diagram.points.map(({ id, pads, isGround, x, y }) => (
        <g key={id}>
          <circle className={pads.length === 0 ? 'point' : 'point pad'} cx={x} cy={y} r={pads.length === 0 ? 3 : 6} />
          {isGround && (
            <path className="line" d={`M ${x - 7} ${y + 9} h 14 M ${x - 4} ${y + 12} h 8 M ${x - 1} ${y + 15} h 2`} />
          )}
          {pads.length > 0 && (
            <text
              className="pad-name"
              x={x}
              y={y - (tips.some(({ node }) => node === id) ? 17 : 9)}
              textAnchor="middle"
            >
              {pads.join(' ')}
            </text>
          )}
        </g>
      ))}
      {places.map(({ tip, x, y }) => (
        <Tip key={tip} tip={tip} x={x} y={y} />
      ))}
    </svg>
  );
}

/** Where a tip stands: A round, B square, each with its letter. */
export function Tip({ tip, x, y, size = 13 }: Place & { tip: 'A' | 'B'; size?: number }) {
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

/** Returns the part of a drawing that is shown: all of it, or the tips with some room around them. */
function windowOf({ width, height }: Diagram, places: readonly Place[]): string {
  if (places.length === 0) return `0 0 ${width} ${height}`;
  const [x, wide] = span(
    places.map((place) => place.x),
    width,
  );
  const [y, high] = span(
    places.map((place) => place.y),
    height,
  );
  return `${x} ${y} ${wide} ${high}`;
}

/** Returns where a stretch with all of `at` in it begins, and its length; within 0 and `whole`. */
function span(at: readonly number[], whole: number): [number, number] {
  const length = Math.min(whole, Math.max(whole * leastShare, Math.max(...at) - Math.min(...at) + 2 * margin));
  const middle = (Math.max(...at) + Math.min(...at)) / 2;
  return [Math.max(0, Math.min(whole - length, middle - length / 2)), length];
}

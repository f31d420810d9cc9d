import type { Diagram } from './lay-out.ts';
import { shownPart } from './shown-part.ts';
import { TipMark } from './tip-mark.tsx';

/** What is pointed out on a drawing. */
export interface Pointed {
  /** Nodes that the tips stand on now. */
  tips: { tip: 'A' | 'B'; node: string }[];
  /** Units or links at which the fault is. */
  faultAt?: readonly string[];
}

const closeness = { margin: 90, leastShare: 0.45 };

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
  const part = shownPart(diagram, places, closeness);
  return (
    <svg viewBox={`${part.x} ${part.y} ${part.width} ${part.height}`} role="img" aria-label={title} className="diagram">
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
        <TipMark key={tip} tip={tip} x={x} y={y} />
      ))}
    </svg>
  );
}

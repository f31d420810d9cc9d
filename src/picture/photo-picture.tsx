import type { FaultPlace, Photo, PlacedTip } from './photo.ts';
import { type PicturePlace, type ShownPart, shownPart } from './shown-part.ts';
import { TipMark } from './tip-mark.tsx';

/** Width of a photo on its drawing; its height follows. */
const photoWidth = 1000;
const closeness = { margin: 130, leastShare: 0.4 };
/** A mark is this share of what is seen. */
const markShare = 0.028;

interface PhotoPictureProps {
  photo: Photo;
  tips?: readonly PlacedTip[];
  faults?: readonly FaultPlace[];
}

/**
 * A photo of the device. With tips on it, it is zoomed to where they go; a mark's letter stands
 * beside the pad, not on it. Places of a fault are ringed.
 */
export function PhotoPicture({ photo, tips = [], faults = [] }: PhotoPictureProps) {
  const size = { width: photoWidth, height: (photoWidth * photo.height) / photo.width };
  const place = ({ at }: PlacedTip | FaultPlace): PicturePlace => ({ x: at.x * size.width, y: at.y * size.height });
  const part = shownPart(size, tips.map(place), closeness);
  const mark = Math.max(part.width, part.height) * markShare;
  const spoken = [
    ...tips.map(({ tip, pad }) => `tip ${tip} on ${pad}`),
    ...(faults.length === 0 ? [] : [`the fault is at ${faults.map(({ pad }) => pad).join(', ')}`]),
  ];
  return (
    <svg
      viewBox={`${part.x} ${part.y} ${part.width} ${part.height}`}
      role="img"
      aria-label={`${photo.shows}${spoken.length === 0 ? '' : `: ${spoken.join(', ')}`}`}
      className="diagram photo"
    >
      <image href={photo.href} x={0} y={0} {...size} preserveAspectRatio="none" />
      {faults.map((fault) => {
        const { x, y } = place(fault);
        return (
          <g key={fault.pad} className="fault-place">
            <circle className="halo" cx={x} cy={y} r={mark * 1.4} strokeWidth={mark * 0.5} />
            <circle cx={x} cy={y} r={mark * 1.4} strokeWidth={mark * 0.25} />
          </g>
        );
      })}
      {tips.map((tip) => (
        <PointedTip
          key={tip.tip}
          tip={tip.tip}
          at={place(tip)}
          other={tips.filter((one) => one !== tip).map(place)[0] ?? null}
          part={part}
          size={mark}
        />
      ))}
    </svg>
  );
}

interface PointedTipProps {
  tip: 'A' | 'B';
  at: PicturePlace;
  other: PicturePlace | null;
  part: ShownPart;
  size: number;
}

/** A frame round the pad, and the mark of the tip beside it, away from the other tip. */
function PointedTip({ tip, at, other, part, size }: PointedTipProps) {
  const frame = size * 0.9;
  const beside = besidePlace(at, other, part, size);
  return (
    <g className={`pointed-${tip.toLowerCase()}`}>
      {['halo', 'frame'].map((className) => (
        <g key={className} className={className} strokeWidth={size * (className === 'halo' ? 0.5 : 0.25)}>
          <line x1={at.x} y1={at.y} x2={beside.x} y2={beside.y} strokeDasharray={`0 ${frame} 9999`} />
          {tip === 'A' ? (
            <circle cx={at.x} cy={at.y} r={frame} />
          ) : (
            <rect x={at.x - frame} y={at.y - frame} width={2 * frame} height={2 * frame} />
          )}
        </g>
      ))}
      <TipMark tip={tip} {...beside} size={size} />
    </g>
  );
}

/** Returns where a mark stands: away from the other tip, inside what is shown, never on its pad. */
function besidePlace(at: PicturePlace, other: PicturePlace | null, part: ShownPart, size: number): PicturePlace {
  const dx = at.x - (other?.x ?? at.x);
  const dy = at.y - (other?.y ?? at.y + 1);
  const length = Math.hypot(dx, dy);
  const away = length === 0 ? { x: 0, y: -1 } : { x: dx / length, y: dy / length };
  const reach = 3.2 * size;
  const isInside = ({ x, y }: PicturePlace): boolean =>
    x > part.x + size && x < part.x + part.width - size && y > part.y + size && y < part.y + part.height - size;
  // away from the other tip, else to a side, else towards it
  const turns = [away, { x: -away.y, y: away.x }, { x: away.y, y: -away.x }, { x: -away.x, y: -away.y }];
  const places = turns.map(({ x, y }) => ({ x: at.x + x * reach, y: at.y + y * reach }));
  return places.find(isInside) ?? places[0]!;
}

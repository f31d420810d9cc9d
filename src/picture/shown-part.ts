/** A place on a picture, in the units of its viewBox. */
export interface PicturePlace {
  x: number;
  y: number;
}

/** How close a picture may be looked at. */
interface Closeness {
  /** Room around the places, in units of the picture. */
  margin: number;
  /** The part that is shown is never smaller than this share of the picture. */
  leastShare: number;
}

/** The part of a picture that is shown, in its units. */
export interface ShownPart {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** Returns the part of a picture that is shown: all of it, or some places with room around them. */
export function shownPart(
  { width, height }: { width: number; height: number },
  places: readonly PicturePlace[],
  closeness: Closeness,
): ShownPart {
  if (places.length === 0) return { x: 0, y: 0, width, height };
  const [x, wide] = span(
    places.map((place) => place.x),
    width,
    closeness,
  );
  const [y, high] = span(
    places.map((place) => place.y),
    height,
    closeness,
  );
  return { x, y, width: wide, height: high };
}

/** Returns where a stretch with all of `at` in it begins, and its length; within 0 and `whole`. */
function span(at: readonly number[], whole: number, { margin, leastShare }: Closeness): [number, number] {
  const length = Math.min(whole, Math.max(whole * leastShare, Math.max(...at) - Math.min(...at) + 2 * margin));
  const middle = (Math.max(...at) + Math.min(...at)) / 2;
  return [Math.max(0, Math.min(whole - length, middle - length / 2)), length];
}

import type { Guide, PadPlace } from '../guide/types.ts';

/** A picture of the device that can be shown. */
export interface Photo {
  id: string;
  /** Which part, which side, how far taken apart. */
  shows: string;
  /** Where the page gets it from. */
  href: string;
  /** As it is seen; only their ratio counts. */
  width: number;
  height: number;
}

/** A tip, and where it goes on a photo. */
export interface PlacedTip {
  tip: 'A' | 'B';
  pad: string;
  at: PadPlace;
}

/**
 * Returns the photos on which some pads lie, each with its tips, in the order of the tips; null when
 * a pad has no place or its photo can't be shown: half of where to touch would mislead.
 */
export function photosOfTips(
  { pads }: Guide,
  photos: readonly Photo[],
  asked: readonly { tip: 'A' | 'B'; pad: string }[],
): { photo: Photo; tips: PlacedTip[] }[] | null {
  const shown: { photo: Photo; tips: PlacedTip[] }[] = [];
  for (const { tip, pad } of asked) {
    const at = pads.find(({ id }) => id === pad)?.at;
    const photo = photos.find(({ id }) => id === at?.picture);
    if (at === undefined || photo === undefined) return null;
    const known = shown.find((one) => one.photo === photo);
    if (known === undefined) shown.push({ photo, tips: [{ tip, pad, at }] });
    else known.tips.push({ tip, pad, at });
  }
  return shown;
}

/** A pad at a place where the fault is. */
export interface FaultPlace {
  pad: string;
  at: PadPlace;
}

/**
 * Returns the photos on which a fault lies, with the pads at its place.
 *
 * @param faultAt units or links at which the fault is: the pads at the ends of their links
 */
export function photosOfFault(
  { pads, links }: Guide,
  photos: readonly Photo[],
  faultAt: readonly string[],
): { photo: Photo; faults: FaultPlace[] }[] {
  const hit = links.filter(({ id, unit }) => faultAt.includes(id) || (unit !== null && faultAt.includes(unit)));
  const nodes = new Set(hit.flatMap(({ from, to }) => [from, to]));
  return photos.flatMap((photo) => {
    const faults = pads.flatMap(({ id, node, at }) =>
      at?.picture === photo.id && nodes.has(node) ? [{ pad: id, at }] : [],
    );
    return faults.length === 0 ? [] : [{ photo, faults }];
  });
}

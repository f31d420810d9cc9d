import type { Guide } from '../types.ts';
import type { Add } from './problem.ts';

/** Pictures are of use only where the pads have their places on them. */
export function placeProblems({ pictures, pads }: Guide, add: Add): void {
  if (pictures.length === 0) return;
  pads.forEach(({ id, at }, n) => {
    if (at === undefined) add('warning', 'pad.no-place', ['pads', n, 'id'], { id });
  });
  pictures.forEach(({ id }, n) => {
    if (pads.every(({ at }) => at?.picture !== id)) add('warning', 'picture.unused', ['pictures', n, 'id'], { id });
  });
}

import { type TypedKind, typedNumber } from '../typed.ts';

/** Both readings of one touch, dry first. */
export const typedDryNormal: TypedKind<'dry-normal'> = {
  by: 'reading',
  example: '20kohm,1.2ohm',
  read({ id }, text) {
    // a path that is open is so at both levels
    const both = text.trim() === 'open' ? 'open,open' : text;
    const parts = both.split(',').map((part) => typedNumber(part.trim(), 'ohm'));
    const [dry, normal] = parts;
    if (parts.length !== 2 || dry === undefined || normal === undefined) {
      return `Write both readings, dry first, as ${id}=20kohm,1.2ohm; open alone stands for both.`;
    }
    return { check: id, kind: 'dry-normal', dry, normal };
  },
};

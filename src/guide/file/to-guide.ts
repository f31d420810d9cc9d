import type { Guide, Link } from '../types.ts';
import type { GuideFile } from './file-schema.ts';

/** Unit-to-unit spread of a link that gives none. */
const defaultSpread = 0.1;

/** Returns the guide that the fields of a file stand for. */
export function toGuide(file: GuideFile): Guide {
  const { guide: _version, currency, ground, usual, links, inputs, ...rest } = file;
  return {
    ...rest,
    currency: currency ?? null,
    ground: ground ?? null,
    usual: usual ?? null,
    links: links.map(toLink),
    inputs: inputs.map(({ below, ...input }) => ({ ...input, belowVolt: below })),
  };
}

function toLink({ unit, spread, max, between, ...link }: GuideFile['links'][number]): Link {
  // a max is what nearly every healthy one stays below: two standard deviations up
  const fromMax = max === undefined ? undefined : (max / link.ohm - 1) / 2;
  return {
    ...link,
    unit: unit ?? null,
    spread: spread ?? fromMax ?? defaultSpread,
    ...(between === undefined ? {} : { between }),
  };
}

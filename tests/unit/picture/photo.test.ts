import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import { type Photo, photosOfFault, photosOfTips } from '../../../src/picture/photo.ts';
import { PhotoPicture } from '../../../src/picture/photo-picture.tsx';
import { guideOf } from '../../support/example-guide.ts';
import { picturedText } from '../../support/pictured-guide.ts';

const guide = guideOf(await picturedText());
const photos: Photo[] = [
  { id: 'front', shows: 'lamp, lid off', href: '/picture/a.jpg', width: 400, height: 300 },
  { id: 'back', shows: 'lamp from behind', href: '/picture/b.svg', width: 200, height: 100 },
];
const asked = (a: string, b: string) => [
  { tip: 'A' as const, pad: a },
  { tip: 'B' as const, pad: b },
];

describe('the photos of two tips', () => {
  test('are one, or one for each tip', () => {
    const idsOf = (a: string, b: string) =>
      photosOfTips(guide, photos, asked(a, b))?.map(({ photo, tips }) => [photo.id, tips.map(({ tip }) => tip)]);
    expect(idsOf('P1', 'P2')).toEqual([['front', ['A', 'B']]]);
    expect(idsOf('P5', 'P2')).toEqual([
      ['back', ['A']],
      ['front', ['B']],
    ]);
  });

  test('are none when one of them can not be shown, or a pad has no place', () => {
    expect(photosOfTips(guide, photos.slice(1), asked('P5', 'P2'))).toBeNull();
    const placeless = { ...guide, pads: guide.pads.map(({ at: _at, ...pad }) => pad) };
    expect(photosOfTips(placeless, photos, asked('P1', 'P2'))).toBeNull();
  });
});

test('the photos of a fault have the pads at the ends of its links, of a unit all of them', () => {
  const padsAt = (...faultAt: string[]) =>
    photosOfFault(guide, photos, faultAt).map(({ photo, faults }) => [photo.id, faults.map(({ pad }) => pad)]);
  expect(padsAt('wire-a')).toEqual([['front', ['P1', 'P2']]]);
  expect(padsAt('wire')).toEqual([['front', ['P1', 'P2']]]);
  expect(padsAt('foot')).toEqual([
    ['front', ['P2']],
    ['back', ['P5']],
  ]);
  expect(padsAt()).toEqual([]);
});

describe('a photo with tips', () => {
  const pairs = guide.pads.flatMap((a) => guide.pads.map((b) => [a.id, b.id] as const)).filter(([a, b]) => a !== b);

  test.each(pairs)('on %s and %s shows both pads whole, and the marks beside them', (a, b) => {
    for (const { photo, tips } of photosOfTips(guide, photos, asked(a, b))!) {
      const svg = renderToStaticMarkup(createElement(PhotoPicture, { photo, tips }));
      const [x, y, width, height] = /viewBox="([^"]+)"/.exec(svg)![1]!.split(' ').map(Number) as number[];
      const isShown = (at: { x: number; y: number }): boolean =>
        at.x >= x! && at.x <= x! + width! && at.y >= y! && at.y <= y! + height!;
      const lines = [...svg.matchAll(/<line x1="([^"]+)" y1="([^"]+)" x2="([^"]+)" y2="([^"]+)"/g)].map((found) =>
        found.slice(1).map(Number),
      );
      const places = tips.map(({ at }) => ({ x: at.x * 1000, y: (at.y * 1000 * photo.height) / photo.width }));
      for (const [i, place] of places.entries()) {
        expect(isShown(place)).toBe(true);
        // the line of a tip leads from its pad to its mark; each is drawn twice
        const [x1, y1, x2, y2] = lines[2 * i]! as [number, number, number, number];
        expect([x1, y1]).toEqual([expect.closeTo(place.x, 6), expect.closeTo(place.y, 6)]);
        expect(isShown({ x: x2, y: y2 })).toBe(true);
        const size = Math.max(width!, height!) * 0.028;
        expect(Math.hypot(x2 - x1, y2 - y1)).toBeGreaterThan(2 * size);
      }
    }
  });

  test('tells who can not see it where they go', () => {
    const [{ photo, tips }] = photosOfTips(guide, photos, asked('P1', 'P2')) as [{ photo: Photo; tips: [] }];
    const svg = renderToStaticMarkup(createElement(PhotoPicture, { photo, tips }));
    expect(svg).toContain('lamp, lid off: tip A on P1, tip B on P2');
  });
});

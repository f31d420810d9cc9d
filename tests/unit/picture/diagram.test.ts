import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import { DiagramPicture } from '../../../src/picture/diagram-picture.tsx';
import { layOut } from '../../../src/picture/lay-out.ts';
import { shownPart } from '../../../src/picture/shown-part.ts';
import { exampleGuide } from '../../support/example-guide.ts';

const names = ['field-recorder', 'two-stage-key', 'membrane-keypad'] as const;

describe.each(names)('the drawing of %s', (name) => {
  const guide = exampleGuide(name);

  test('has every pad once, inside the board of its unit, and every link', async () => {
    const diagram = (await layOut(guide))!;
    expect(diagram.points.flatMap(({ pads }) => pads).sort()).toEqual(guide.pads.map(({ id }) => id).sort());
    expect(diagram.lines.map(({ id }) => id).sort()).toEqual(guide.links.map(({ id }) => id).sort());
    expect(diagram.lines.filter(({ bends }) => bends.length < 2)).toEqual([]);
    for (const { id, x, y } of diagram.points) {
      const units = guide.links.filter(({ from, to }) => from === id || to === id).map(({ unit }) => unit);
      const on = diagram.boards.filter(
        (board) => x > board.x && x < board.x + board.width && y > board.y && y < board.y + board.height,
      );
      expect(on).toHaveLength(1);
      if (units.some((unit) => unit !== null)) expect(units).toContain(on[0]!.id);
    }
  });

  test('no board lies on another, and all lie on the drawing', async () => {
    const { boards, width, height } = (await layOut(guide))!;
    for (const [i, a] of boards.entries()) {
      expect(a.x + a.width).toBeLessThanOrEqual(width);
      expect(a.y + a.height).toBeLessThanOrEqual(height);
      for (const b of boards.slice(i + 1)) {
        const apart = a.x + a.width < b.x || b.x + b.width < a.x || a.y + a.height < b.y || b.y + b.height < a.y;
        expect(apart).toBe(true);
      }
    }
  });

  test('shows both tips whatever pads they are on', async () => {
    const diagram = (await layOut(guide))!;
    for (const check of guide.checks) {
      if (check.pads === undefined) continue;
      const nodes = check.pads.map((pad) => guide.pads.find(({ id }) => id === pad)!.node);
      const tips = [
        { tip: 'A' as const, node: nodes[0]! },
        { tip: 'B' as const, node: nodes[1]! },
      ];
      const svg = renderToStaticMarkup(createElement(DiagramPicture, { diagram, pointed: { tips }, title: 'device' }));
      const [x, y, wide, high] = /viewBox="([^"]+)"/.exec(svg)![1]!.split(' ').map(Number) as [
        number,
        number,
        number,
        number,
      ];
      for (const node of nodes) {
        const point = diagram.points.find(({ id }) => id === node)!;
        expect(point.x).toBeGreaterThanOrEqual(x);
        expect(point.x).toBeLessThanOrEqual(x + wide);
        expect(point.y).toBeGreaterThanOrEqual(y);
        expect(point.y).toBeLessThanOrEqual(y + high);
      }
      expect(svg.match(/class="tip tip-a"/g)).toHaveLength(1);
      expect(svg.match(/class="tip tip-b"/g)).toHaveLength(1);
    }
  });
});

test('is zoomed to the tips where they are near each other, and whole without any', () => {
  const size = { width: 1000, height: 600 };
  const closeness = { margin: 50, leastShare: 0.3 };
  expect(shownPart(size, [], closeness)).toEqual({ x: 0, y: 0, ...size });
  const near = shownPart(
    size,
    [
      { x: 500, y: 300 },
      { x: 520, y: 300 },
    ],
    closeness,
  );
  expect(near).toEqual({ x: 360, y: 210, width: 300, height: 180 });
  // never beyond the edge
  expect(shownPart(size, [{ x: 0, y: 600 }], closeness)).toEqual({ x: 0, y: 420, width: 300, height: 180 });
});

test('a circuit too large to be read is not drawn', async () => {
  const guide = exampleGuide('field-recorder');
  const links = Array.from({ length: 301 }, (_, i) => ({ ...guide.links[0]!, id: `link-${i}` }));
  expect(await layOut({ ...guide, links })).toBeNull();
});

import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { guideProblems } from '../../../src/checks/guides.ts';
import { readGuidePictures, refusedPictures } from '../../../src/guide/pictures/read-guide-pictures.ts';
import { exampleGuide, exampleNames, guideOf, placeOf, problemsOf, smallWith } from '../../support/example-guide.ts';
import { scratch } from '../../support/scratch.ts';

const entry = '{ id: top, file: pictures/top.svg, shows: "board, parts side up" }';
const drawing = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"/>';

/** The small guide with pictures, and the places of its pads P1, P2, P3. */
function pictured(pictures: string, ...places: (string | null)[]): string {
  let text = smallWith('pads:\n', `pictures:\n${pictures}\npads:\n`);
  places.forEach((place, i) => {
    if (place !== null) text = text.replace(new RegExp(`(id: P${i + 1}, .*) }`), `$1, at: ${place} }`);
  });
  return text;
}
const at = (x: number, y: number, picture = 'top') => `{ picture: ${picture}, x: ${x}, y: ${y} }`;
const placed = pictured(`  - ${entry}`, at(0, 0), at(1, 1), at(0.25, 0.5));

describe('pictures in a guide', () => {
  test('are read with the places of the pads on them; a guide may have none', () => {
    const guide = guideOf(placed);
    expect(guide.pictures).toEqual([{ id: 'top', file: 'pictures/top.svg', shows: 'board, parts side up' }]);
    expect(guide.pads.map((pad) => pad.at)).toEqual([
      { picture: 'top', x: 0, y: 0 },
      { picture: 'top', x: 1, y: 1 },
      { picture: 'top', x: 0.25, y: 0.5 },
    ]);
    expect(guideProblems(guide)).toEqual([]);
    expect(guideOf(smallWith('guide: 1', 'guide: 1')).pictures).toEqual([]);
  });

  test.each([
    ['a place outside', pictured(`  - ${entry}`, at(1.01, 0)), 'place.share', '1.01'],
    ['a place before the edge', pictured(`  - ${entry}`, at(0, -0.1)), 'place.share', '-0.1'],
    ['a place in percent', pictured(`  - ${entry}`, '{ picture: top, x: 50 %, y: 0 }'), 'place.share', '50 %'],
    ['a picture that is not there', pictured(`  - ${entry}`, at(0, 0, 'tip')), 'ref.unknown', 'tip'],
    [
      'one id twice',
      pictured(`  - ${entry}\n  - ${entry.replace('svg', 'png')}`),
      'id.twice',
      'top, file: pictures/top.png',
    ],
    ['a file above the guide', pictured(`  - ${entry.replace('pictures', '..')}`), 'picture.file', '../top.svg'],
    ['a file elsewhere', pictured(`  - ${entry.replace('pictures', '/etc')}`), 'picture.file', '/etc/top.svg'],
    ['a file of another kind', pictured(`  - ${entry.replace('svg', 'gif')}`), 'picture.file', 'pictures/top.gif'],
  ])('%s is told where it stands', (_name, text, code, what) => {
    expect(problemsOf(text)).toEqual([expect.objectContaining({ code, ...placeOf(text, what, 'pictures:') })]);
  });

  test('warn of a pad without a place and of a picture without a pad', () => {
    const text = pictured(`  - ${entry}\n  - ${entry.replace('top', 'back')}`, at(0, 0), null, at(1, 1));
    const told = guideProblems(guideOf(text)).map(({ severity, code, path }) => [severity, code, path]);
    expect(told).toEqual([
      ['warning', 'picture.unused', 'pictures.1.id'],
      ['warning', 'pad.no-place', 'pads.1.id'],
    ]);
  });
});

describe('the files of a guide', () => {
  test('are read from beside it; what can not be shown is told, and stops nothing', async () => {
    const folder = scratch();
    await mkdir(join(folder, 'pictures'));
    await writeFile(join(folder, 'pictures', 'top.svg'), drawing);
    await writeFile(join(folder, 'run.svg'), drawing.replace('/>', '><script/></svg>'));
    const lines = [
      `  - ${entry}`,
      '  - { id: gone, file: gone.png, shows: back }',
      '  - { id: run, file: run.svg, shows: run }',
    ];
    const guide = guideOf(pictured(lines.join('\n')));
    const read = await readGuidePictures(guide, join(folder, 'guide.yaml'));
    expect(read.map(({ content, refused }) => content?.width ?? refused?.code)).toEqual([
      4,
      'file.missing',
      'file.picture-script',
    ]);
    expect(refusedPictures(guide, read).map(({ severity, code, path }) => [severity, code, path])).toEqual([
      ['warning', 'picture.refused', 'pictures.1.file'],
      ['warning', 'picture.refused', 'pictures.2.file'],
    ]);
  });
});

test.each(exampleNames)('%s has a drawing that can be shown for every pad', async (name) => {
  const guide = exampleGuide(name);
  const read = await readGuidePictures(
    guide,
    fileURLToPath(new URL(`../../../examples/${name}.yaml`, import.meta.url)),
  );
  expect(read.filter(({ refused }) => refused !== null)).toEqual([]);
  expect(guide.pads.filter(({ at }) => at === undefined)).toEqual([]);
});

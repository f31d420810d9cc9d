import { truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { mostBytes } from '../../../src/files/file-kinds.ts';
import { pictureOf, readPicture } from '../../../src/files/read-picture.ts';
import { scratch } from '../../support/scratch.ts';

const plain = { create: { width: 30, height: 20, channels: 3 as const, background: '#336699' } };
const inside = '<rect id="r" width="3" height="4" fill="url(#f)"/><use href="#r"/>';
const drawing = (content: string, attributes = 'viewBox="0 0 40 30"'): Buffer =>
  Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" ${attributes}>${content}</svg>`);

describe('a picture', () => {
  test.each([
    ['image/png', () => sharp(plain).png().toBuffer()],
    ['image/jpeg', () => sharp(plain).jpeg().toBuffer()],
    ['image/webp', () => sharp(plain).webp().toBuffer()],
  ] as const)('of the type %s is known by its bytes, with its size', async (type, make) => {
    const path = join(scratch(), 'named-as-no-picture.txt');
    await writeFile(path, await make());
    expect(await readPicture(path)).toMatchObject({
      type,
      width: 30,
      height: 20,
      sha256: expect.stringMatching(/^[0-9a-f]{64}$/),
    });
  });

  test('that its camera turned is as wide as it is seen (EXIF 2.32, Orientation 6 and 8 lie on a side)', async () => {
    for (const orientation of [1, 2, 3, 4, 5, 6, 7, 8]) {
      const bytes = await sharp(plain).jpeg().withMetadata({ orientation }).toBuffer();
      const [width, height] = orientation < 5 ? [30, 20] : [20, 30];
      expect(await pictureOf(bytes, 'photo'), String(orientation)).toMatchObject({ width, height });
    }
  });

  test('that is a drawing has the size of its viewBox, or its own', async () => {
    expect(await pictureOf(drawing(inside), 'drawing')).toMatchObject({ type: 'image/svg+xml', width: 40, height: 30 });
    expect(await pictureOf(drawing(inside, 'width="12.5px" height="7"'), 'drawing')).toMatchObject({
      width: 12.5,
      height: 7,
    });
    const declared = `<?xml version="1.0" encoding="UTF-8"?>\n<!-- drawn by hand -->\n${drawing(inside)}`;
    expect(await pictureOf(Buffer.from(declared), 'drawing')).toMatchObject({ width: 40 });
  });

  test('that is missing, empty, something else, damaged or huge is refused', async () => {
    const folder = scratch();
    await expect(readPicture(join(folder, 'none.png'))).rejects.toMatchObject({ code: 'file.missing' });
    const large = join(folder, 'large.png');
    await writeFile(large, '');
    await expect(readPicture(large)).rejects.toMatchObject({ code: 'file.picture-kind' });
    await truncate(large, mostBytes.picture + 1);
    await expect(readPicture(large)).rejects.toMatchObject({ code: 'file.too-large' });
    await expect(pictureOf(Buffer.from('GIF89a...'), 'x')).rejects.toMatchObject({ code: 'file.picture-kind' });
    await expect(pictureOf(Buffer.from('<html><svg/></html>'), 'x')).rejects.toMatchObject({
      code: 'file.picture-kind',
    });
    const png = await sharp(plain).png().toBuffer();
    await expect(pictureOf(png.subarray(0, 20), 'x')).rejects.toMatchObject({ code: 'file.picture-damaged' });
  });

  test('that claims more pixels than a camera has is refused before they are made', async () => {
    const png = await sharp(plain).png().toBuffer();
    // width, height and check value of the header (W3C PNG, 11.2.2 and 5.3): a decoder would have to make 10 gigapixels
    png.writeUInt32BE(100_000, 16);
    png.writeUInt32BE(100_000, 20);
    png.writeUInt32BE(crc32(png.subarray(12, 29)), 29);
    await expect(pictureOf(png, 'x')).rejects.toMatchObject({ code: 'file.picture-pixels' });
  });
});

describe('a drawing that does more than draw is refused:', () => {
  test.each([
    ['a script', '<script>alert(1)</script>', 'file.picture-script'],
    [
      'a script by another prefix',
      '<s:script xmlns:s="http://www.w3.org/2000/svg">1</s:script>',
      'file.picture-script',
    ],
    ['a handler', '<rect onload="alert(1)"/>', 'file.picture-script'],
    ['a handler in capitals', '<rect ONCLICK="alert(1)"/>', 'file.picture-script'],
    ['a script as a reference', '<use href=" javascript:alert(1)"/>', 'file.picture-script'],
    [
      'a page inside',
      '<foreignObject><p xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
      'file.picture-foreign',
    ],
    ['HTML beside the drawing', '<h:iframe xmlns:h="http://www.w3.org/1999/xhtml"/>', 'file.picture-foreign'],
    ['a link', '<a href="#r"><rect/></a>', 'file.picture-foreign'],
    ['what moves, and may set a reference', '<set attributeName="href" to="x"/>', 'file.picture-foreign'],
    ['a picture from elsewhere', '<image href="http://example.org/a.png"/>', 'file.picture-outside'],
    [
      'a picture beside it',
      '<image xlink:href="a.png" xmlns:xlink="http://www.w3.org/1999/xlink"/>',
      'file.picture-outside',
    ],
    ['a drawing within', '<image href="data:image/svg+xml,x"/>', 'file.picture-outside'],
    ['a fill from elsewhere', '<rect fill="url(http://example.org/#f)"/>', 'file.picture-outside'],
    ['a style from elsewhere', '<style>@import "a.css";</style>', 'file.picture-outside'],
    ['a style that fetches', '<style>rect { background: url( "//x" ) }</style>', 'file.picture-outside'],
    ['a style that hides what it fetches', '<style>rect { fill: u\\72l(//x) }</style>', 'file.picture-outside'],
    ['an instruction', '<?xml-stylesheet href="a.css"?>', 'file.picture-outside'],
    ['another base', '<g xml:base="http://example.org/"/>', 'file.picture-outside'],
    ['what is not well-formed', '<g>', 'file.picture-xml'],
  ])('%s', async (_name, content, code) => {
    await expect(pictureOf(drawing(content), 'drawing')).rejects.toMatchObject({ code });
  });

  test('entities that grow, and a nest too deep', async () => {
    const grown = Buffer.from(`<!DOCTYPE svg [<!ENTITY a "aaaa">]>${drawing('<text>&a;</text>')}`);
    await expect(pictureOf(grown, 'x')).rejects.toMatchObject({
      code: expect.stringMatching(/^file\.picture-(xml|kind)$/),
    });
    const deep = drawing(`${'<g>'.repeat(60_000)}${'</g>'.repeat(60_000)}`);
    await expect(pictureOf(deep, 'x')).rejects.toMatchObject({
      code: expect.stringMatching(/^file\.picture-(xml|size)$/),
    });
  });

  test('one without a size', async () => {
    await expect(pictureOf(drawing(inside, 'width="100%"'), 'x')).rejects.toMatchObject({ code: 'file.picture-size' });
  });

  test('and what only draws is taken: parts by name, a photo inside, notes of a drawing program', async () => {
    const harmless = [
      '<defs><linearGradient id="f"><stop offset="0"/></linearGradient><filter id="b"><feGaussianBlur stdDeviation="1"/></filter></defs>',
      '<style>.a { fill: url(#f); filter: url("#b") }</style><title>A board</title>',
      '<image href="data:image/png;base64,iVBORw0KGgo="/>',
      '<n:view xmlns:n="http://example.org/notes" n:zoom="2"/>',
    ].join('');
    expect(await pictureOf(drawing(harmless), 'x')).toMatchObject({ width: 40 });
  });
});

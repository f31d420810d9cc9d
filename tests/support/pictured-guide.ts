import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { shortGuide } from './scratch.ts';

/** Where the pads of the pictured guide are on its photo of 400 x 300 pixels as it is seen: in the middle of four coloured squares. */
export const padColours = { P1: '#c00000', P2: '#0000c0', P3: '#00a000', P4: '#c0c000' } as const;
const corners = { P1: [0.1, 0.2], P2: [0.3, 0.2], P3: [0.1, 0.8], P4: [0.9, 0.8] } as const;
const squares = Object.entries(corners).map(([pad, [x, y]]) => {
  const fill = padColours[pad as keyof typeof padColours];
  return `<rect x="${x * 400 - 8}" y="${y * 300 - 8}" width="16" height="16" fill="${fill}"/>`;
});

/** A drawing of the other side, with P5. */
export const backDrawing =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100"><rect width="200" height="100" fill="#dddddd"/><circle cx="150" cy="50" r="6"/></svg>';

/** The photo as a camera held on its side stores it: 300 x 400, to be turned (EXIF, Orientation 6), with place and device. */
async function turnedPhoto(): Promise<Buffer> {
  const seen = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300" width="400" height="300"><rect width="400" height="300" fill="#eeeeee"/>${squares.join('')}</svg>`;
  const lying = await sharp(Buffer.from(seen)).rotate(-90).toBuffer();
  return sharp(lying)
    .jpeg({ quality: 95 })
    .withExif({
      IFD0: { Make: 'Nobody', Model: 'Camera of a test', Orientation: '6' },
      IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '51/1 30/1 0/1', GPSLongitudeRef: 'W', GPSLongitude: '0/1 7/1 0/1' },
    })
    .withMetadata({ orientation: 6 })
    .toBuffer();
}

/** The text of the short guide of a lamp with two pictures, and each pad at its place. */
export async function picturedText(): Promise<string> {
  const pictures = [
    '  - { id: front, file: pictures/front.jpg, shows: "lamp, lid off" }',
    '  - { id: back, file: pictures/back.svg, shows: "lamp from behind" }',
  ];
  let text = (await readFile(shortGuide, 'utf8')).replace('pads:\n', `pictures:\n${pictures.join('\n')}\n\npads:\n`);
  for (const [pad, [x, y]] of Object.entries(corners))
    text = text.replace(new RegExp(`(- { id: ${pad}, .*) }`), `$1, at: { picture: front, x: ${x}, y: ${y} } }`);
  return text.replace(/(- { id: P5, .*) }/, '$1, at: { picture: back, x: 0.75, y: 0.5 } }');
}

/** Writes the pictured guide and its pictures to a folder; returns the guide's path. */
export async function picturedGuide(folder: string): Promise<string> {
  await mkdir(join(folder, 'pictures'), { recursive: true });
  await writeFile(join(folder, 'pictures', 'front.jpg'), await turnedPhoto());
  await writeFile(join(folder, 'pictures', 'back.svg'), backDrawing);
  const path = join(folder, 'pictured.yaml');
  await writeFile(path, await picturedText());
  return path;
}

import { FileError } from './file-error.ts';
import { type PictureContent, pictureOf, readPicture } from './read-picture.ts';

/** Enough to see a corroded pad in a photo of a whole board. */
const longestSide = 2400;

/**
 * Returns a photo as it is kept: turned as its camera was held, scaled down where it is large, and
 * without what the camera wrote beside it (place, device, time).
 *
 * @throws FileError as `readPicture`; `file.picture-kind` for a drawing
 */
export async function photoToKeep(path: string): Promise<PictureContent> {
  const { bytes, type } = await readPicture(path);
  if (type === 'image/svg+xml') {
    throw new FileError('file.picture-kind', path, 'it is a drawing, not a photo', {
      help: 'Give a photo as PNG, JPEG or WebP.',
    });
  }
  const { default: sharp } = await import('sharp');
  // what is made anew holds nothing but the picture
  const made = await sharp(bytes)
    .autoOrient()
    .resize({ width: longestSide, height: longestSide, fit: 'inside', withoutEnlargement: true })
    .flatten({ background: '#ffffff' })
    .jpeg({ quality: 85 })
    .toBuffer()
    .catch(() => null);
  if (made === null) {
    throw new FileError('file.picture-damaged', path, 'the picture in it is damaged', { help: 'Save it again.' });
  }
  return pictureOf(made, path);
}

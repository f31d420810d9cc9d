import { createHash } from 'node:crypto';
import { FileError } from './file-error.ts';
import { type PictureType, pictureTypeOf } from './picture-kind.ts';
import { readForeignFile } from './read-file.ts';
import { lookAtSvg } from './svg-safety.ts';

/** A picture as it stands in a file. */
export interface PictureContent {
  bytes: Buffer;
  /** What it is by its first bytes. */
  type: PictureType;
  /** Of the bytes, in small hexadecimal digits. */
  sha256: string;
  /** As it is seen: turned as its camera was held. In pixels; of a drawing in its own units. */
  width: number;
  height: number;
}

/** More than any bench camera has; a small file may claim far more, and take the memory for it. */
const mostPixels = 100_000_000;

/**
 * Returns a picture from elsewhere that can be shown: PNG, JPEG, WebP, or an SVG that only draws.
 *
 * @throws FileError as `readForeignFile`; `file.picture-kind`, `file.picture-damaged`,
 *   `file.picture-pixels`; of a drawing `file.picture-xml`, `file.picture-size`,
 *   `file.picture-script`, `file.picture-foreign`, `file.picture-outside`
 */
export async function readPicture(path: string): Promise<PictureContent> {
  return pictureOf(await readForeignFile(path, 'picture'), path);
}

/** As {@link readPicture}, of bytes that are here already; `name` for the error. */
export async function pictureOf(bytes: Buffer, name: string): Promise<PictureContent> {
  const refuse = (code: FileError['code'], why: string, help: string): FileError =>
    new FileError(code, name, why, { help });
  const type = pictureTypeOf(bytes);
  if (type === null) {
    throw refuse('file.picture-kind', 'it is no picture that can be shown', 'Save it as PNG, JPEG, WebP or SVG.');
  }
  const sha256 = createHash('sha256').update(bytes).digest('hex');
  const decoded = await decodedSize(bytes);
  if (type === 'image/svg+xml') {
    const help = 'Save it as a plain drawing, or as PNG.';
    // the strict reader first: it also refuses a nest that would keep the other one busy
    if (decoded === null) throw refuse('file.picture-xml', 'it is no well-formed drawing', help);
    const looked = lookAtSvg(bytes.toString('utf8'));
    if (!looked.ok) throw refuse(looked.code, looked.why, help);
    return { bytes, type, sha256, width: looked.width, height: looked.height };
  }
  if (decoded === null) throw refuse('file.picture-damaged', 'the picture in it is damaged', 'Save it again.');
  if (decoded.width * decoded.height > mostPixels) {
    const why = `it has ${decoded.width} x ${decoded.height} pixels, more than ${mostPixels / 1e6} million`;
    throw refuse('file.picture-pixels', why, 'Save it smaller: 4000 pixels on its longer side are plenty.');
  }
  return { bytes, type, sha256, ...decoded };
}

/** Returns a picture's size as its decoder reads it from the head; null when it reads none. */
async function decodedSize(bytes: Buffer): Promise<{ width: number; height: number } | null> {
  // loaded by the one who reads a picture
  const { default: sharp } = await import('sharp');
  return sharp(bytes, { limitInputPixels: false })
    .metadata()
    .then(
      ({ autoOrient }) => autoOrient,
      () => null,
    );
}

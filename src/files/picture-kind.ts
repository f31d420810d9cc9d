/** Media types of pictures that are shown. */
export type PictureType = 'image/png' | 'image/jpeg' | 'image/webp' | 'image/svg+xml';

/** The ending of a file's name, by its media type. */
export const pictureEndings: Readonly<Record<PictureType, string>> = {
  'image/png': 'png',
  'image/jpeg': 'jpg',
  'image/webp': 'webp',
  'image/svg+xml': 'svg',
};

/**
 * Returns what a picture is by its first bytes, whatever its name says; null for anything else.
 *
 * PNG: W3C PNG (third edition), 5.2. JPEG: ITU-T T.81, B.1.1.3. WebP: RFC 9649, 2.4.
 */
export function pictureTypeOf(bytes: Uint8Array): PictureType | null {
  const begin = Buffer.from(bytes.buffer, bytes.byteOffset, Math.min(bytes.length, textHead));
  const latin = begin.toString('latin1', 0, 12);
  if (latin.startsWith('\x89PNG\r\n\x1a\n')) return 'image/png';
  if (latin.startsWith('\xff\xd8\xff')) return 'image/jpeg';
  if (latin.startsWith('RIFF') && latin.endsWith('WEBP') && latin.length === 12) return 'image/webp';
  const text = begin.toString('utf8').replace(/^\uFEFF/, '');
  return /^\s*(?:<\?xml[^>]*\?>\s*)?(?:<!--[\s\S]*?-->\s*)*(?:<!DOCTYPE[^>]*>\s*)?<(?:\w+:)?svg[\s>/]/i.test(text)
    ? 'image/svg+xml'
    : null;
}

/** As far as this a drawing's first element is looked for. */
const textHead = 4096;

import { dirname, join } from 'node:path';
import { FileError } from '../../files/file-error.ts';
import { exists, makePrivateFolder } from '../../files/folder.ts';
import { type PictureType, pictureEndings } from '../../files/picture-kind.ts';
import { type PictureContent, readPicture } from '../../files/read-picture.ts';
import { writeOutput } from '../../files/write-output.ts';
import type { EntryOf } from '../entries/entries.ts';
import type { KeptPicture } from '../entries/picture-part.ts';

/** A picture of a record: its content, or why it can't be shown. */
export type RecordPicture = { id: string } & (
  | { content: PictureContent; refused: null }
  | { content: null; refused: { code: string; why: string } }
);

/** Returns the name of a picture by its content: SHA256.ENDING. */
export function pictureName({ sha256, type }: { sha256: string; type: PictureType }): string {
  return `${sha256}.${pictureEndings[type]}`;
}

/** Returns what a record says of a picture. */
export function asKept({ bytes, type, sha256, width, height }: PictureContent): KeptPicture {
  return { sha256, bytes: bytes.length, type, width, height };
}

/**
 * Keeps a picture once, by its content, in the folder `pictures` beside a record. Returns whether
 * something else stood under its name: that was damaged, and is replaced.
 *
 * @throws FileError `output.failed`; the system's error
 */
export async function keepPicture(recordPath: string, content: PictureContent): Promise<{ wasDamaged: boolean }> {
  const path = pathOf(recordPath, content);
  makePrivateFolder(dirname(path));
  const isThere = await exists(path);
  if (isThere && (await readKept(path, content)).refused === null) return { wasDamaged: false };
  writeOutput(path, content.bytes, { force: isThere, isPrivate: true });
  return { wasDamaged: isThere };
}

/** Returns the pictures of a record's guide, in its order; none for a record that names none. */
export async function guidePicturesOf(recordPath: string, opened: EntryOf<'opened'> | null): Promise<RecordPicture[]> {
  const found: RecordPicture[] = [];
  for (const listed of opened?.pictures ?? []) {
    const { id } = listed;
    if ('lacking' in listed) {
      const refused = { code: listed.lacking, why: 'it was not there when the job was opened' };
      found.push({ id, content: null, refused });
    } else found.push({ id, ...(await readKept(pathOf(recordPath, listed), listed)) });
  }
  return found;
}

/** Returns a photo that an entry of a record names, or why it can't be shown. */
export async function keptPhoto(
  recordPath: string,
  { picture }: EntryOf<'photo'>,
): Promise<{ content: PictureContent | null; refused: { code: string; why: string } | null }> {
  return readKept(pathOf(recordPath, picture), picture);
}

function pathOf(recordPath: string, kept: { sha256: string; type: PictureType }): string {
  return join(dirname(recordPath), 'pictures', pictureName(kept));
}

async function readKept(path: string, kept: { sha256: string; type: PictureType }) {
  try {
    const content = await readPicture(path);
    if (content.sha256 === kept.sha256 && content.type === kept.type) return { content, refused: null };
    return changed();
  } catch (error) {
    if (!(error instanceof FileError)) throw error;
    // of other bytes it is no news what else is wrong with them
    const isOther = error.code.startsWith('file.picture');
    return isOther ? changed() : { content: null, refused: { code: error.code, why: error.why } };
  }
}

function changed() {
  return { content: null, refused: { code: 'file.picture-changed', why: 'it is not the one that the record names' } };
}

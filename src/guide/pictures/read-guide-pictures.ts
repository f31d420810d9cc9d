import { dirname, join } from 'node:path';
import { FileError } from '../../files/file-error.ts';
import { type PictureContent, readPicture } from '../../files/read-picture.ts';
import { sourceOf } from '../file/source-map.ts';
import { problemAt } from '../problems/problem.ts';
import type { Guide, GuideProblem, Picture } from '../types.ts';

/** A picture of a guide: its content, or why it can't be shown. */
export type GuidePicture = { picture: Picture } & (
  | { content: PictureContent; refused: null }
  | { content: null; refused: FileError }
);

/** Returns the pictures of a guide in its order, read from beside the guide's file. */
export async function readGuidePictures({ pictures }: Guide, guideFile: string): Promise<GuidePicture[]> {
  const read: GuidePicture[] = [];
  // one after the other: each may take many megabytes
  for (const picture of pictures) {
    try {
      read.push({ picture, content: await readPicture(join(dirname(guideFile), picture.file)), refused: null });
    } catch (error) {
      if (!(error instanceof FileError)) throw error;
      read.push({ picture, content: null, refused: error });
    }
  }
  return read;
}

/** Returns a warning for each picture that can't be shown: a job can be worked without. */
export function refusedPictures(guide: Guide, pictures: readonly GuidePicture[]): GuideProblem[] {
  return pictures.flatMap(({ picture, refused }, at) => {
    if (refused === null) return [];
    const args = { id: picture.id, why: refused.why, help: refused.help };
    return [problemAt(sourceOf(guide), 'warning', 'picture.refused', ['pictures', at, 'file'], args)];
  });
}

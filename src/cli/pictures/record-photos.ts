import type { PictureContent } from '../../files/read-picture.ts';
import type { Guide } from '../../guide/types.ts';
import type { Photo } from '../../picture/photo.ts';
import { guidePicturesOf } from '../../record/pictures/kept-pictures.ts';
import type { JobState } from '../../record/state/job-state.ts';

/** Pictures of a record's guide, as they were kept when the job was opened. */
export interface RecordPhotos {
  photos: (Photo & { content: PictureContent })[];
  /** Those that can't be shown, each with why. */
  lacking: { id: string; why: string }[];
}

/** Returns the pictures of a record, each with the address that `hrefOf` gives it. */
export async function recordPhotos(
  guide: Guide,
  { path, state }: { path: string; state: Pick<JobState, 'opened'> },
  hrefOf: (content: PictureContent) => string,
): Promise<RecordPhotos> {
  const found: RecordPhotos = { photos: [], lacking: [] };
  for (const { id, content, refused } of await guidePicturesOf(path, state.opened)) {
    if (content === null) {
      found.lacking.push({ id, why: refused.why });
      continue;
    }
    const shows = guide.pictures.find((picture) => picture.id === id)?.shows ?? id;
    const { width, height } = content;
    found.photos.push({ id, shows, href: hrefOf(content), width, height, content });
  }
  return found;
}

/** Returns a picture as an address that holds it whole (RFC 2397). */
export function dataUri({ type, bytes }: PictureContent): string {
  return `data:${type};base64,${bytes.toString('base64')}`;
}

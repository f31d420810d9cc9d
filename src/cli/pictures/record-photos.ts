import type { PictureContent } from '../../files/read-picture.ts';
import type { Guide } from '../../guide/types.ts';
import type { Photo } from '../../picture/photo.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { guidePicturesOf, keptPhoto } from '../../record/pictures/kept-pictures.ts';
import type { JobState } from '../../record/state/job-state.ts';
import type { EvidencePhoto } from '../../report/paper/evidence-photo.ts';

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

/** Returns the photos that were taken at checks, each within itself or with why it can't be shown. */
export async function evidencePhotos({
  path,
  entries,
  state,
}: {
  path: string;
  entries: readonly Entry[];
  state: Pick<JobState, 'checks'>;
}): Promise<(EvidencePhoto & { content: PictureContent | null })[]> {
  const photos: (EvidencePhoto & { content: PictureContent | null })[] = [];
  for (const entry of entries) {
    if (entry.kind !== 'photo') continue;
    const { n, check, shows } = entry;
    const { content, refused } = await keptPhoto(path, entry);
    const href = content === null ? null : dataUri(content);
    photos.push({ n, title: state.checks[check]?.title ?? check, shows, href, lacking: refused?.why ?? '', content });
  }
  return photos;
}

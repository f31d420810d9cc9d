import type { GuidePicture } from '../../guide/pictures/read-guide-pictures.ts';
import type { Guide } from '../../guide/types.ts';
import type { Opening } from '../../record/entries/entries.ts';
import { asKept, keepPicture } from '../../record/pictures/kept-pictures.ts';
import type { Printer } from '../program/printer.ts';

/** What a record says of its guide's pictures; one that nobody has read is lacking. */
export function listedPictures(guide: Guide, read: readonly GuidePicture[] = []): Pick<Opening, 'pictures'> {
  if (guide.pictures.length === 0) return {};
  return {
    pictures: guide.pictures.map(({ id }) => {
      const { content = null, refused = null } = read.find(({ picture }) => picture.id === id) ?? {};
      return content === null ? { id, lacking: refused?.code ?? 'file.missing' } : { id, ...asKept(content) };
    }),
  };
}

/** Keeps the pictures of a guide beside a record that is about to be made, and says what is not as it should be. */
export async function keepPictures(
  pictures: readonly GuidePicture[],
  recordPath: string,
  terminal: Printer,
): Promise<void> {
  for (const { picture, content, refused } of pictures) {
    if (content === null) {
      terminal.say(`The picture ${picture.id} is not shown: ${refused.message}. The words say where to touch.`);
      continue;
    }
    const { wasDamaged } = await keepPicture(recordPath, content);
    if (wasDamaged) terminal.say(`The kept copy of the picture ${picture.id} was damaged; it is kept anew.`);
  }
}

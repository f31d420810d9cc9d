import { mkdir, readdir, readFile, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { pictureOf } from '../../../src/files/read-picture.ts';
import type { EntryOf } from '../../../src/record/entries/entries.ts';
import { asKept, guidePicturesOf, keepPicture, pictureName } from '../../../src/record/pictures/kept-pictures.ts';
import { backDrawing } from '../../support/pictured-guide.ts';
import { scratch } from '../../support/scratch.ts';

const content = await pictureOf(Buffer.from(backDrawing), 'back.svg');
const opened = (sha256 = content.sha256): EntryOf<'opened'> =>
  ({
    pictures: [
      { id: 'back', ...asKept(content), sha256 },
      { id: 'gone', lacking: 'file.missing' },
    ],
  }) as unknown as EntryOf<'opened'>;

function place(): { record: string; picture: string } {
  const folder = scratch();
  return { record: join(folder, 'job.owjob'), picture: join(folder, 'pictures', pictureName(content)) };
}

describe('a picture', () => {
  test('is kept once, by its content, beside the records', async () => {
    const { record, picture } = place();
    expect(await keepPicture(record, content)).toEqual({ wasDamaged: false });
    const { mtimeMs } = await stat(picture);
    expect(await keepPicture(record.replace('job', 'other'), content)).toEqual({ wasDamaged: false });
    expect((await stat(picture)).mtimeMs).toBe(mtimeMs);
    expect(await readdir(join(record, '..', 'pictures'))).toEqual([pictureName(content)]);
    expect(await readFile(picture, 'utf8')).toBe(backDrawing);
    expect(await guidePicturesOf(record, opened())).toEqual([
      { id: 'back', content, refused: null },
      { id: 'gone', content: null, refused: { code: 'file.missing', why: expect.any(String) } },
    ]);
  });

  test.each([
    ['another drawing', backDrawing.replace('circle', 'ellipse')],
    ['a drawing with a script', backDrawing.replace('<circle', '<script/><circle')],
    ['what is no picture', 'nothing'],
  ])('that was changed is told and not shown: %s', async (_name, other) => {
    const { record, picture } = place();
    await keepPicture(record, content);
    await writeFile(picture, other);
    const [found] = await guidePicturesOf(record, opened());
    expect(found).toMatchObject({ content: null, refused: { code: 'file.picture-changed' } });
    expect(await readFile(picture, 'utf8')).toBe(other);
    // the next job with the true one mends it, and says so
    expect(await keepPicture(record, content)).toEqual({ wasDamaged: true });
    expect(await readFile(picture, 'utf8')).toBe(backDrawing);
  });

  test('that is missing is told; so is one that can not be read', async () => {
    const { record, picture } = place();
    expect((await guidePicturesOf(record, opened()))[0]).toMatchObject({ refused: { code: 'file.missing' } });
    await mkdir(picture, { recursive: true });
    expect((await guidePicturesOf(record, opened()))[0]).toMatchObject({ refused: { code: 'file.not-regular' } });
  });

  test('with the right digest is refused all the same when a stranger made it do more than draw', async () => {
    const { record } = place();
    const hostile = Buffer.from(backDrawing.replace('<circle', '<script/><circle'));
    const sha256 = (await import('node:crypto')).createHash('sha256').update(hostile).digest('hex');
    const folder = join(record, '..', 'pictures');
    await mkdir(folder);
    await writeFile(join(folder, `${sha256}.svg`), hostile);
    expect((await guidePicturesOf(record, opened(sha256)))[0]).toMatchObject({ content: null });
  });

  test('no record names none', async () => {
    expect(await guidePicturesOf('/nowhere/job.owjob', null)).toEqual([]);
  });
});

import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import sharp from 'sharp';
import { beforeAll, describe, expect, test } from 'vitest';
import type { EntryOf } from '../../../src/record/entries/entries.ts';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { cli } from '../../support/command-line.ts';
import { picturedGuide } from '../../support/pictured-guide.ts';
import { opening } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

const faulty = ['--order', 'guide', '--port', 'sim:', '--revision', 'A', '--repair', 'none', '--fault', 'wire-a=open'];

describe('a job by a guide with pictures', { timeout: 120_000 }, () => {
  let folder: string;
  let record: string;
  let kept: string[];
  beforeAll(async () => {
    folder = scratch();
    record = join(folder, 'jobs', 'job.owjob');
    await cli(folder, ['run', await picturedGuide(folder), ...faulty, '--record', record]);
    // what the guide's folder holds later is no matter
    await rm(join(folder, 'pictures'), { recursive: true });
    const { opened } = (await readRecord(record)).state;
    kept = opened!.pictures!.map((one) => ('sha256' in one ? one.sha256 : one.lacking));
  }, 120_000);

  test('names each of them by its content, as it is seen, and verifies', async () => {
    const { state, bytes } = await readRecord(record);
    expect(state.opened!.pictures).toEqual([
      { id: 'front', sha256: kept[0], bytes: expect.any(Number), type: 'image/jpeg', width: 400, height: 300 },
      { id: 'back', sha256: kept[1], bytes: expect.any(Number), type: 'image/svg+xml', width: 200, height: 100 },
    ]);
    expect(verifyWhole(bytes).departures).toEqual([]);
  });

  test('has them on its report, with the place of the fault ringed, and in its archive', async () => {
    const out = join(folder, 'report.html');
    await cli(folder, ['report', record, '--out', out]);
    const html = await readFile(out, 'utf8');
    expect(html.match(/<g class="fault-place">/g)).toHaveLength(2);
    expect(html).toMatch(/<image href="data:image\/jpeg;base64,/);
    const zip = join(folder, 'job.zip');
    await cli(folder, ['export', record, '--as', 'archive', '--out', zip]);
    const members = unzipSync(await readFile(zip));
    expect(Object.keys(members)).toEqual(
      expect.arrayContaining([`pictures/${kept[0]}.jpg`, `pictures/${kept[1]}.svg`]),
    );
    expect(strFromU8(members[`pictures/${kept[1]}.svg`]!)).toContain('<svg');
  });

  test('without one of them has the drawing in its place, and says so', async () => {
    const path = join(folder, 'jobs', 'pictures', `${kept[0]}.jpg`);
    const bytes = await readFile(path);
    await writeFile(path, bytes.subarray(0, bytes.length - 1));
    const out = join(folder, 'without.html');
    const { terminal } = await cli(folder, ['report', record, '--out', out]);
    expect(terminal.said).toContain('front');
    const html = await readFile(out, 'utf8');
    expect(html).not.toContain('data:image/jpeg');
    expect(html).toContain('class="diagram"');
    await writeFile(path, bytes);
  });

  test('whose picture is missing is worked all the same: the record says that it was not there', async () => {
    const place = scratch();
    const guide = await picturedGuide(place);
    await rm(join(place, 'pictures', 'front.jpg'));
    const path = join(place, 'job.owjob');
    const { terminal } = await cli(place, ['run', guide, ...faulty, '--record', path]);
    expect(terminal.said).toContain('front');
    const { state, bytes } = await readRecord(path);
    expect(state.opened!.pictures![0]).toEqual({ id: 'front', lacking: 'file.missing' });
    expect(verifyWhole(bytes).departures).toEqual([]);
  });
});

describe('a photo taken at a check', { timeout: 120_000 }, () => {
  test('is kept without place and device, turned as it was seen, in record, report and archive; a bad one leaves nothing', async () => {
    const folder = scratch();
    await picturedGuide(folder);
    const taken = join(folder, 'pictures', 'front.jpg');
    expect((await sharp(taken).metadata()).exif?.includes('Camera of a test')).toBe(true);
    const opened = await JobRecord.create(folder, opening);
    await opened.close();
    const { length } = (await readRecord(opened.path)).entries;
    const [check] = Object.keys(opened.state.checks) as [string];
    const photo = (at: string, file: string, ...more: string[]) =>
      cli(folder, ['photo', opened.path, at, file, ...more]);
    expect((await photo('no-such-check', taken)).terminal.errorCode).toBe('usage.photo');
    expect((await photo(check, join(folder, 'none.jpg'))).terminal.errorCode).toBe('file.missing');
    expect((await photo(check, join(folder, 'pictures', 'back.svg'))).terminal.errorCode).toBe('file.picture-kind');
    expect((await readRecord(opened.path)).entries).toHaveLength(length);
    expect((await photo(check, taken, '--shows', 'a <b>torn</b> flex')).code).toBe(0);
    const { entries } = await readRecord(opened.path);
    const entry = entries.at(-1) as EntryOf<'photo'>;
    expect(entry).toMatchObject({ kind: 'photo', check, shows: 'a <b>torn</b> flex', by: 'option' });
    expect(entry.picture).toMatchObject({ type: 'image/jpeg', width: 400, height: 300 });
    const name = `pictures/${entry.picture.sha256}.jpg`;
    const kept = await sharp(join(folder, name)).metadata();
    expect([kept.exif, kept.orientation, kept.xmp, kept.iptc]).toEqual([undefined, undefined, undefined, undefined]);
    const out = join(folder, 'photo.html');
    await cli(folder, ['report', opened.path, '--out', out]);
    const html = await readFile(out, 'utf8');
    expect(html).toContain('a &lt;b&gt;torn&lt;/b&gt; flex');
    expect(html).toContain('<img src="data:image/jpeg;base64,');
    await cli(folder, ['export', opened.path, '--as', 'archive', '--out', join(folder, 'photo.zip')]);
    expect(Object.keys(unzipSync(await readFile(join(folder, 'photo.zip'))))).toContain(name);
  });
});

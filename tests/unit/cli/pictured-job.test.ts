import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import { beforeAll, describe, expect, test } from 'vitest';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { cli } from '../../support/command-line.ts';
import { picturedGuide } from '../../support/pictured-guide.ts';
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

import { createHash } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, expect, test } from 'vitest';
import { checkKinds } from '../../../src/checks/registry.ts';
import { loadGuide } from '../../../src/guide/file/load.ts';
import { smallGuide, smallWith } from '../../support/example-guide.ts';
import { scratch } from '../../support/scratch.ts';

let folder: string;
beforeAll(async () => {
  folder = scratch();
});

test('a guide comes with its text and digest', async () => {
  const path = join(folder, 'small.yaml');
  await writeFile(path, smallGuide);
  const loaded = await loadGuide(path, checkKinds);
  expect(loaded).toMatchObject({ text: smallGuide, guide: { id: 'small' }, warnings: [] });
  expect(loaded.sha256).toBe(createHash('sha256').update(smallGuide).digest('hex'));
});

test('a file that is not there, a directory, and a broken guide end in exit code 2', async () => {
  await expect(loadGuide(join(folder, 'none.yaml'), checkKinds)).rejects.toMatchObject({
    code: 'guide.read',
  });
  await expect(loadGuide(folder, checkKinds)).rejects.toMatchObject({ code: 'guide.read' });
  const path = join(folder, 'broken.yaml');
  await writeFile(path, smallWith('ohm: 0.5 ohm', 'ohm: 0.5'));
  const error = await loadGuide(path, checkKinds).catch((cause: unknown) => cause);
  expect(error).toMatchObject({ code: 'guide.invalid' });
  expect(String(error)).toContain(`${path}:24:52:`);
});

test('a stopped load is a stop, not a broken file', async () => {
  const stopped = AbortSignal.abort();
  await expect(loadGuide(join(folder, 'none.yaml'), checkKinds, stopped)).rejects.toBe(stopped.reason);
});

test('of thousands of problems the first are told, and how many there are beside', async () => {
  const path = join(folder, 'many.yaml');
  const links = Array.from({ length: 5_000 }, (_, i) => `  - { id: l${i}, from: A, to: NOWHERE${i}, kind: trace }\n`);
  await writeFile(path, smallWith('links:\n', `links:\n${links.join('')}`));
  const error: unknown = await loadGuide(path, checkKinds).catch((cause: unknown) => cause);
  const lines = String((error as Error).message).split('\n');
  expect(lines.length).toBeGreaterThan(10);
  expect(lines.length).toBeLessThan(60);
});

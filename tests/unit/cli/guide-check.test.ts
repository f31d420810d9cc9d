import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Testability } from '../../../src/isolate/next/testability.ts';
import { cli } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

/** A guide whose wire is measured with its foot, so that too much resistance in either looks the same. */
async function unsharp(): Promise<string> {
  const file = join(scratch(), 'unsharp.yaml');
  writeFileSync(file, readFileSync(shortGuide, 'utf8').replace('pads: [P1, P2]', 'pads: [P1, P5]'));
  return file;
}

describe('guide check', () => {
  test('says as data what the checks of a guide can find', async () => {
    const { code, terminal } = await cli('/', ['guide', 'check', await unsharp(), '--json']);
    expect(code).toBe(0);
    const [{ figures }] = terminal.json as [{ figures: Testability }];
    expect(figures.detectionRate).toBeGreaterThan(0.1);
    expect(figures.detectionRate).toBeLessThan(0.9);
    expect(figures.isolationRate).toBeLessThan(1);
    expect(figures.ambiguity).toContainEqual(
      expect.objectContaining({ decisions: ['wire', 'board'], suspects: ['wire-a=high', 'foot=high'] }),
    );
    expect(figures.outside).toEqual([]);
    expect(Object.keys(figures).sort()).toEqual(
      ['ambiguity', 'detectionRate', 'isolationRate', 'outside', 'unseen', 'useless'].sort(),
    );
  });

  test('and in words', async () => {
    const { terminal } = await cli('/', ['guide', 'check', await unsharp()]);
    const text = terminal.outLines.join('\n');
    for (const word of ['fault detection rate', 'fault isolation rate', 'not told apart', 'makes no check fail']) {
      expect(text).toContain(word);
    }
  });

  test('of a file that is no guide at all tells the first places, and all of them as data', async () => {
    const page = new URL('../../../DEVELOPERS.md', import.meta.url).pathname;
    const { code, terminal } = await cli('/', ['guide', 'check', page]);
    expect(code).toBe(2);
    expect(terminal.outLines.length).toBeLessThan(12);
    const asData = (await cli('/', ['guide', 'check', page, '--json'])).terminal.json as { problems: unknown[] }[];
    expect(asData[0]!.problems.length).toBeGreaterThan(10);
  });

  test('has no figures for a guide that is not usable', async () => {
    const file = join(scratch(), 'bad.yaml');
    writeFileSync(file, 'guide: 1\n');
    const { code, terminal } = await cli('/', ['guide', 'check', file, '--json']);
    expect(code).toBe(2);
    expect(terminal.json).toMatchObject([{ ok: false, figures: null }]);
  });
});

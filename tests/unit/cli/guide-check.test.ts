import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Testability } from '../../../src/isolate/testability.ts';
import { cli } from './fake-terminal.ts';
import { scratch } from './scratch.ts';

const recorder = join(import.meta.dirname, '../../../examples/field-recorder.yaml');

describe('guide check', () => {
  it('says as data what the checks of a guide can find', async () => {
    const { code, terminal } = await cli('/', ['guide', 'check', recorder, '--json']);
    expect(code).toBe(0);
    const [{ figures }] = terminal.json as [{ figures: Testability }];
    expect(figures.detectionRate).toBeGreaterThan(0.5);
    expect(figures.isolationRate).toBeGreaterThan(0.5);
    expect(figures.ambiguity.length).toBeGreaterThan(0);
    expect(figures.outside).toEqual([]);
    expect(Object.keys(figures).sort()).toEqual(
      ['ambiguity', 'detectionRate', 'isolationRate', 'outside', 'unseen', 'useless'].sort(),
    );
  });

  it('and in words', async () => {
    const { terminal } = await cli('/', ['guide', 'check', recorder]);
    const text = terminal.outLines.join('\n');
    for (const word of ['fault detection rate', 'fault isolation rate', 'not told apart', 'makes no check fail']) {
      expect(text).toContain(word);
    }
  });

  it('has no figures for a guide that is not usable', async () => {
    const file = join(await scratch(), 'bad.yaml');
    writeFileSync(file, 'guide: 1\n');
    const { code, terminal } = await cli('/', ['guide', 'check', file, '--json']);
    expect(code).toBe(2);
    expect(terminal.json).toMatchObject([{ ok: false, figures: null }]);
  });
});

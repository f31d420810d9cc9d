import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

describe('guide new', () => {
  test('writes a guide in which guide check finds nothing at all', async () => {
    const file = join(scratch(), 'mine.yaml');
    expect((await cli('/', ['guide', 'new', file])).code).toBe(0);
    const { code, terminal } = await cli('/', ['guide', 'check', file, '--json']);
    expect(code).toBe(0);
    expect(terminal.json).toMatchObject([{ ok: true, problems: [] }]);
    expect(readFileSync(file, 'utf8').match(/^ *#/gm)!.length).toBeGreaterThan(15);
  });

  test('prints it when no file is named', async () => {
    const { code, terminal } = await cli('/', ['guide', 'new']);
    expect(code).toBe(0);
    expect(terminal.outLines[0]).toMatch(/^# /);
    expect(terminal.outLines).toContain('guide: 1');
  });

  test('leaves a file that is there as it is', async () => {
    const file = join(scratch(), 'mine.yaml');
    writeFileSync(file, 'kept');
    const { code, terminal } = await cli('/', ['guide', 'new', file]);
    expect(code).toBe(9);
    expect(terminal.said).toContain(file);
    expect(readFileSync(file, 'utf8')).toBe('kept');
  });
});

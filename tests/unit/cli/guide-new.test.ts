import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { sittingOf } from '../../../src/learn/sitting-guide.ts';
import { cli } from '../../support/command-line.ts';
import { tableOf } from '../../support/emulated-sitting.ts';
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

  test.each(['keypad', 'key-on-springs', 'flex', 'plug'])(
    'begins from a table for a build like %s, which is sound too',
    async (like) => {
      const file = join(scratch(), 'mine.yaml');
      expect((await cli('/', ['guide', 'new', file, '--like', like])).code).toBe(0);
      const { code, terminal } = await cli('/', ['guide', 'check', file, '--json']);
      expect([code, terminal.json]).toMatchObject([0, [{ ok: true, problems: [] }]]);
      const planned = sittingOf(tableOf(readFileSync(file, 'utf8')));
      expect(planned.ok && planned.sitting.touches.size).toBeGreaterThan(8);
    },
  );

  test('knows no other build', async () => {
    expect((await cli('/', ['guide', 'new', '--like', 'toaster'])).code).toBe(2);
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

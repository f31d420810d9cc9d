// What a shell offers: commands, options, job names, check ids, faults, settings.
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

const guide = 'examples/field-recorder.yaml';
afterEach(() => void vi.restoreAllMocks());

async function offered(cwd: string, ...words: string[]): Promise<string[]> {
  const printed: string[] = [];
  vi.spyOn(console, 'log').mockImplementation((text: string) => void printed.push(text));
  expect((await cli(cwd, ['complete', '--', ...words])).code).toBe(0);
  return printed
    .join('\n')
    .split('\n')
    .map((line) => line.split('\t')[0]!);
}

describe('completion', () => {
  test('offers commands and options', async () => {
    const cwd = await scratch();
    expect(await offered(cwd, 'sho')).toContain('show');
    expect(await offered(cwd, 'jobs', '--un')).toEqual(expect.arrayContaining(['--unit', '--until']));
  });

  test('offers jobs of the folder, and nothing of one that is not there', async () => {
    const cwd = await scratch();
    expect(await offered(cwd, 'show', '')).toContain('last');
    await mkdir(join(cwd, 'ohmwright-jobs'));
    await writeFile(join(cwd, 'ohmwright-jobs', '2031-05-17-abcdef.owjob'), '');
    expect(await offered(cwd, 'show', '')).toContain('2031-05-17-abcdef');
  });

  test('offers check ids and faults of the guide in the line, and settings', async () => {
    const cwd = await scratch();
    expect(await offered(cwd, 'limits', guide, '--check', 'spring')).toContain('spring-a');
    expect(await offered(cwd, 'run', guide, '--fault', 'trace')).toContain('trace-a=open');
    expect(await offered(cwd, 'config', 'get', 'te')).toContain('technician');
  });

  test.each(['bash', 'zsh', 'fish', 'powershell'])('prints what makes %s ask', async (shell) => {
    const printed: string[] = [];
    vi.spyOn(console, 'log').mockImplementation((text: string) => void printed.push(text));
    expect((await cli(await scratch(), ['complete', shell])).code).toBe(0);
    expect(printed.join('\n')).toContain('ohmwright complete');
  });
});

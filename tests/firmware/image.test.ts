// The committed image is what its sources make, within its budget.
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { scratch } from '../support/scratch.ts';
import { firmwareFolder, missingBuildTool } from './host-core.ts';

const make = (folder: string, ...more: string[]) =>
  spawnSync('make', ['-C', firmwareFolder, `BUILD=${folder}`, `IMAGE=${folder}/probe.hex`, ...more], {
    encoding: 'utf8',
  });

describe.skipIf(missingBuildTool('avr-gcc') ?? missingBuildTool('make'))('firmware image', () => {
  test('rebuilds to the committed bytes, twice, and prints what it uses', () => {
    const committed = readFileSync(join(firmwareFolder, 'probe.hex'), 'utf8');
    for (const folder of [scratch(), scratch()]) {
      const made = make(folder);
      expect(made.stderr).toBe('');
      expect(made.status).toBe(0);
      expect(made.stdout).toMatch(/flash +\d+ B of 8192 B\nstatic RAM +\d+ B of 1228 B\nstack +\d+ B of 128 B/);
      const rebuilt = readFileSync(join(folder, 'probe.hex'), 'utf8');
      // avr-gcc versions differ in code generation: another one says so instead of failing on bytes
      const version = spawnSync('avr-gcc', ['-dumpversion'], { encoding: 'utf8' }).stdout.trim();
      if (version === '5.4.0')
        expect(
          rebuilt === committed,
          'the committed image differs from its sources: run make -C firmware-protocol/firmware',
        ).toBe(true);
      else console.warn(`avr-gcc ${version}: image not compared, it was committed from 5.4.0`);
    }
  }, 60_000);

  test('a budget that is too small fails the build', () => {
    const made = make(scratch(), 'STACK_BUDGET=16');
    expect(made.status).not.toBe(0);
    expect(made.stdout).toContain('OVER BUDGET');
  }, 60_000);

  test('every record of the committed image has a right check sum (Intel HEX: bytes of a record add up to 0)', () => {
    const lines = readFileSync(join(firmwareFolder, 'probe.hex'), 'utf8').trim().split('\n');
    for (const line of lines) expect(Buffer.from(line.slice(1), 'hex').reduce((a, b) => (a + b) & 255, 0)).toBe(0);
    expect(lines.at(-1)).toBe(':00000001FF');
  });
});

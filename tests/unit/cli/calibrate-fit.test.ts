import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

const example = (file: string): string => fileURLToPath(new URL(`../../../examples/${file}`, import.meta.url));
const points = example('bench-points.csv');
const set = example('bench-resistors.yaml');

/** Returns what `calibrate fit` says of the example's points after `edit`. */
async function fitOf(edit: (text: string) => string, ...options: string[]) {
  const folder = scratch();
  const file = join(folder, 'points.csv');
  await writeFile(file, edit(await readFile(points, 'utf8')));
  const { code, terminal } = await cli(folder, ['calibrate', 'fit', file, '--set', set, ...options]);
  return { exitCode: code, out: terminal.outLines, said: terminal.said, errorCode: terminal.errorCode };
}

const asIs = (text: string): string => text;
const withoutRange3 = (text: string): string => text.replaceAll(/^3,.*\n/gm, '');

describe('calibrate fit', () => {
  test('the example is a good calibration of all nine ranges', async () => {
    const { exitCode, out } = await fitOf(asIs, '--json', '--probe', 'C');
    expect(exitCode).toBe(0);
    const data = JSON.parse(out.join('\n'));
    expect(data).toMatchObject({ set: 'BENCH-A', verdict: 'good', missing: [], problems: [] });
    expect(data.ranges).toHaveLength(9);
    expect(data.calibration.ranges).toHaveLength(9);
    expect(data.block).toMatchObject({ probeSerial: 12, validDays: 365, setId: 'BENCH-A' });
    expect(data.next.length).toBeGreaterThan(0);
  });

  test('lines show each range with its residuals, and the verdict last', async () => {
    const { out } = await fitOf(asIs);
    expect(out.filter((line) => line.startsWith('range '))).toHaveLength(9);
    expect(out.filter((line) => /^ {2}\[[.|o<>]{21}\]/.test(line)).length).toBeGreaterThan(50);
    expect(out.at(-1)).toMatch(/^calibration: good/);
  });

  test('a missing range is doubtful: exit code 3', async () => {
    const { exitCode, out } = await fitOf(withoutRange3, '--json');
    expect(exitCode).toBe(3);
    expect(JSON.parse(out.join('\n')).missing).toHaveLength(2);
  });

  test('swapped points are named with their lines, and left out', async () => {
    const swap = (text: string): string => {
      const lines = text.split('\n');
      const at = (name: string): number => lines.findIndex((line) => line.startsWith(`2,normal,${name},`));
      const code = (i: number): string => lines[i]!.split(',')[3]!;
      const [a, b] = [at('R6'), at('R7')];
      const [codeA, codeB] = [code(a), code(b)];
      lines[a] = lines[a]!.replace(codeA, codeB);
      lines[b] = lines[b]!.replace(codeB, codeA);
      return lines.join('\n');
    };
    const { exitCode, out } = await fitOf(swap, '--json');
    expect(exitCode).toBe(3);
    const data = JSON.parse(out.join('\n'));
    const outliers = data.ranges.flatMap(
      (range: { fit: { outliers: { cause: string; index: number }[] } }) => range.fit.outliers,
    );
    expect(outliers.map(({ cause }: { cause: string }) => cause)).toEqual(['swapped', 'swapped']);
    expect(outliers.map(({ index }: { index: number }) => data.points[index].standard.name)).toEqual(['R6', 'R7']);
  });

  test('one point is refused: exit code 1, and nothing that could be written', async () => {
    const { exitCode, out } = await fitOf((text) => text.split('\n').slice(0, 3).join('\n'), '--json');
    expect(exitCode).toBe(1);
    expect(JSON.parse(out.join('\n'))).toMatchObject({ verdict: 'refused', calibration: null, block: null });
  });

  test.each([
    ['text in place of a code', (text: string) => text.replace(/^2,normal,R6,[\d.]+/m, '2,normal,R6,much')],
    ['a missing column', (text: string) => text.replace('u_code', 'spread')],
    ['a name that the set does not have', (text: string) => text.replace('1,normal,R2,', '1,normal,Q2,')],
    ['nothing', () => ''],
  ])('%s is told with exit code 2', async (_name, edit) => {
    const { exitCode, errorCode } = await fitOf(edit);
    expect(exitCode).toBe(2);
    expect(errorCode).toBe('points.invalid');
  });

  test('a file that is not there, and a set that is none, are told with exit code 2', async () => {
    const folder = scratch();
    expect((await cli(folder, ['calibrate', 'fit', join(folder, 'none.csv')])).code).toBe(2);
    expect((await cli(folder, ['calibrate', 'fit', points, '--set', points])).code).toBe(2);
    expect((await cli(folder, ['calibrate', 'fit', points])).code).toBe(2);
  });

  test('many bad lines are told by the first few: exit code 2', async () => {
    const folder = scratch();
    const { code, terminal } = await cli(folder, ['calibrate', 'fit', points]);
    expect(code).toBe(2);
    expect(terminal.errorCode).toBe('points.invalid');
    expect(terminal.said.split('\n').filter((line) => line.includes('bench-points.csv:')).length).toBe(6);
  });

  test('a set past its date is asked about, and used all the same', async () => {
    const folder = scratch();
    const old = join(folder, 'old.yaml');
    await writeFile(old, (await readFile(set, 'utf8')).replace(/^date: .*$/m, 'date: 1965-02-28'));
    const { code, terminal } = await cli(folder, ['calibrate', 'fit', points, '--set', old]);
    expect(code).toBe(0);
    expect(terminal.said).toContain('its values held until 1967-02-28');
    expect((await fitOf(asIs)).said).not.toContain('held until');
    await writeFile(old, (await readFile(set, 'utf8')).replace(/^date: .*$/m, 'date: 2027-02-29'));
    const never = await cli(folder, ['calibrate', 'fit', points, '--set', old]);
    expect(never.code).toBe(2);
    expect(never.terminal.errorCode).toBe('set.invalid');
  });
});

// health: proofs of many jobs on a chart, and when a drift began.
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';
import { dayMs, firstDayMs, proofRecords } from './proof-records.ts';

let cwd: string;
beforeAll(async () => {
  cwd = scratch();
});

interface Health {
  series: {
    what: string;
    probe: string;
    beganAt: string | null;
    signalAt: string | null;
    health: { state: string; needed: number };
  }[];
}

describe('health', () => {
  test('is steady where nothing moves: exit 0', async () => {
    const folder = await proofRecords(cwd, 'steady', 14, () => 100);
    const { code, terminal } = await cli(cwd, ['health', '--jobs', folder, '--json']);
    const { series } = terminal.json as Health;
    expect(series.map(({ what, health }) => `${what} ${health.state}`).sort()).toEqual([
      'check-resistor steady',
      'shorted-tips steady',
    ]);
    expect(code).toBe(0);
  });

  test('says that a drift is there and when it began: exit 1', async () => {
    const folder = await proofRecords(cwd, 'drifting', 24, (day) => 100 + Math.max(0, day - 15) * 1.5);
    const { code, terminal } = await cli(cwd, ['health', '--jobs', folder, '--json']);
    expect(code).toBe(1);
    const series = (terminal.json as Health).series.find(({ what }) => what === 'check-resistor')!;
    expect(series.health.state).toBe('drifting');
    const began = (Date.parse(series.beganAt!) - firstDayMs) / dayMs;
    expect(Math.abs(began - 16)).toBeLessThan(4);
    expect(series.signalAt! > series.beganAt!).toBe(true);
    const lines = (await cli(cwd, ['health', '--jobs', folder])).terminal.outLines;
    const text = lines.join('\n');
    expect(text).toContain(series.beganAt!.slice(0, 10));
    expect(text).toContain('X');
    for (const line of lines.filter((each) => each.includes('|'))) expect(line.length).toBeLessThanOrEqual(80);
  });

  test('says when there are too few, and how many more: exit 3', async () => {
    const folder = await proofRecords(cwd, 'few', 3, () => 100);
    const { code, terminal } = await cli(cwd, ['health', '--jobs', folder, '--json']);
    expect(code).toBe(3);
    expect((terminal.json as Health).series[0]!.health).toMatchObject({ state: 'few', needed: 7 });
  });

  test('takes one probe by its serial number, or the records named', async () => {
    const folder = await proofRecords(cwd, 'whose', 2, () => 100);
    const none = await cli(cwd, ['health', '--jobs', folder, '--probe', '12AB']);
    expect(none.code).toBe(3);
    expect(none.terminal.said).toContain('12AB');
    // 4711 in hexadecimal digits
    const own = await cli(cwd, ['health', '--jobs', folder, '--probe', '1267', '--json']);
    expect((own.terminal.json as Health).series).toHaveLength(2);
    const named = await cli(cwd, ['health', join(folder, 'day-00.owjob'), '--json']);
    expect((named.terminal.json as Health).series[0]!.health.needed).toBe(11);
  });

  test('refuses what it can not take, with one sentence', async () => {
    expect((await cli(cwd, ['health', '--jobs', join(cwd, 'nowhere')])).code).toBe(6);
    expect((await cli(cwd, ['health', '--lambda', '2'])).code).toBe(2);
    expect((await cli(cwd, ['health', '--baseline', 'x'])).code).toBe(2);
    const sim = await cli(cwd, ['health', '--port', 'sim:']);
    expect(sim.code).toBe(2);
    expect(sim.terminal.errorCode).toBe('usage.health');
  });
});

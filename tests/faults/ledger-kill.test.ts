// Kill -9 while a ledger takes records: none that was told as taken is lost, none is there by half.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, watch } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, expect, test } from 'vitest';
import { checkLedger } from '../../src/ledger-store/check-ledger.ts';
import { Ledger } from '../../src/ledger-store/ledger.ts';
import { emptyDatabase } from '../support/ledgers.ts';
import { scratch } from '../support/scratch.ts';

const rounds = Math.max(2, Math.round(Number(process.env.OHMWRIGHT_KILLS ?? 5) / 2.5));
const writer = fileURLToPath(new URL('ledger-writer.ts', import.meta.url));
let template: Blob;
beforeAll(async () => {
  template = await emptyDatabase();
}, 240_000);

/** Starts the writer, and kills it in the middle of what follows the next few records. */
async function killedRound(folder: string, told: string, from: number, more: number): Promise<void> {
  const child = spawn(process.execPath, [writer, folder, told, String(from)], { stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  child.stderr.on('data', (data) => {
    said += data;
  });
  const ended = new Promise<string | null>((resolve) => child.on('exit', (_code, signal) => resolve(signal)));
  const before = linesIn(told).length;
  const watcher = watch(join(told, '..'), () => {
    if (linesIn(told).length >= before + more) child.kill('SIGKILL');
  });
  const signal = await ended;
  watcher.close();
  if (signal !== 'SIGKILL') throw new Error(`the writer ended by itself: ${said}`);
}

function linesIn(path: string): string[] {
  return existsSync(path) ? readFileSync(path, 'utf8').split('\n').slice(0, -1) : [];
}

test(`${rounds} kills lose no record that was told as taken`, { timeout: 60_000 * rounds }, async () => {
  const folder = join(scratch(), 'ledger');
  const told = join(scratch(), 'told');
  for (let round = 0; round < rounds; round += 1) {
    await killedRound(folder, told, round * 1000, 1 + (round % 4));
    const why: string[] = [];
    const ledger = await Ledger.open(folder, { template, onRebuild: (reason) => why.push(reason) });
    const found = await checkLedger(ledger);
    // the record under way may be on disk and not in the database yet: it was not told as taken
    expect(found.filter(({ code }) => code !== 'ledger.not-in-database' && code !== 'ledger.head')).toEqual([]);
    expect(found.length).toBeLessThanOrEqual(round + 1);
    const lines = linesIn(told).map((line) => line.split(' '));
    const held = await ledger.standings(lines.map(([record]) => record!));
    for (const [record, entries] of lines)
      expect(held.get(record!)).toMatchObject({ entries: Number(entries), counted: true });
    expect(lines.length).toBeGreaterThan(round);
    expect(why).toEqual([]);
    await ledger.close();
  }
});

import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { beforeEach, describe, expect, test } from 'vitest';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { scratch } from '../support/scratch.ts';

const script = new URL('./record-writer.ts', import.meta.url).pathname;

let dir: string;
let path: string;
beforeEach(() => {
  dir = scratch();
  path = join(dir, 'a.owjob');
});

interface Said {
  open?: number;
  captured?: number;
  sha256?: string;
  closed?: number;
  refused?: string;
}

/** Runs the writer and returns everything that it said until it ended. `onSaid` may kill it. */
async function runWriter(
  args: string[],
  onSaid: (said: Said, child: ChildProcess) => void = () => undefined,
  limitKib: number | null = null,
): Promise<{ said: Said[]; signal: string | null }> {
  const limited = `ulimit -f ${limitKib ?? 'unlimited'} && exec "$0" "$@"`;
  const child = spawn('bash', ['-c', limited, process.execPath, script, ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const exit = once(child, 'exit');
  const said: Said[] = [];
  for await (const line of createInterface({ input: child.stdout })) {
    // a line that the kill cut in two was not said
    if (!line.endsWith('}')) continue;
    const each = JSON.parse(line) as Said;
    said.push(each);
    onSaid(each, child);
  }
  const [, signal] = (await exit) as [number | null, string | null];
  return { said, signal };
}

/** Kills in all; `npm run durability` asks for 500. Each record takes some of them, one after another. */
const kills = Number(process.env.OHMWRIGHT_KILLS ?? 12);
const killsARecord = 24;

const captures = (said: Said[]) => said.filter(({ captured }) => captured !== undefined);

describe('a writer that is killed (kill -9) at random moments', () => {
  test(`has in the record everything that it ever said to be captured, and the next one goes on (${kills} kills)`, {
    timeout: 120_000 + 2_000 * kills,
  }, async () => {
    for (let done = 0; done < kills; done += killsARecord) {
      path = join(dir, `${done}.owjob`);
      await killAgainAndAgain(Math.min(killsARecord, kills - done));
    }
  });
});

async function killAgainAndAgain(runs: number): Promise<void> {
  const told: Said[] = [];
  for (let run = 0; run < runs; run += 1) {
    const { said, signal } = await runWriter([run === 0 ? 'create' : 'resume', path], killSometime());
    expect(said.filter(({ refused }) => refused !== undefined)).toEqual([]);
    expect(signal).toBe('SIGKILL');
    told.push(...captures(said));
    const { lines, damage } = parseRecord(await readFile(path));
    expect(damage).toEqual([]);
    for (const { captured, sha256 } of told) expect(lines[captured! - 1]?.sha256).toBe(sha256);
  }
  expect(told.length).toBeGreaterThan(runs);
  const record = await JobRecord.resume(path);
  await record.append({ kind: 'note', text: 'and on' });
  await record.close();
  expect(verifyRecord(await readFile(path)).departures).toEqual([]);
  expect(record.state.notes.some(({ text }) => text.startsWith('Took over the lock'))).toBe(true);
}

/** Returns what kills the writer after a random number of entries, and then a random number of turns into the next ones. */
function killSometime(): (said: Said, child: ChildProcess) => void {
  const after = Math.floor(Math.random() * 12);
  let turns = Math.floor(Math.random() * 40);
  let seen = 0;
  return (_, child) => {
    seen += 1;
    if (seen !== after + 1) return;
    const turn = (): void => {
      turns -= 1;
      if (turns < 0) child.kill('SIGKILL');
      else setImmediate(turn);
    };
    turn();
  };
}

describe('two processes that write one record', { timeout: 120_000 }, () => {
  test('the second is refused while the first lives, and the first is not disturbed', async () => {
    let second: Promise<{ said: Said[] }> | null = null;
    const first = await runWriter(['create', path], ({ captured }, child) => {
      if (captured === 3) {
        second = runWriter(['resume', path]);
        void second.then(() => child.kill('SIGKILL'));
      }
    });
    expect((await second!).said).toEqual([{ refused: 'record.locked' }]);
    const { lines } = parseRecord(await readFile(path));
    for (const { captured, sha256 } of captures(first.said)) expect(lines[captured! - 1]?.sha256).toBe(sha256);
  });

  test('that all meet a stale lock at once: one at a time gets in, and nothing that was said is lost', async () => {
    await runWriter(['create', path], ({ captured }, child) => {
      if (captured === 2) child.kill('SIGKILL');
    });
    expect(await readdir(dir)).toContain('a.owjob.lock');
    const all = await Promise.all(Array.from({ length: 4 }, () => runWriter(['resume', path, '15'])));
    const winners = all.filter(({ said }) => said.some(({ closed }) => closed !== undefined));
    const refused = all.flatMap(({ said }) => said.flatMap((each) => each.refused ?? []));
    expect(winners.length).toBeGreaterThanOrEqual(1);
    expect(winners.length + refused.length).toBe(4);
    expect(new Set([...refused, 'record.locked'])).toEqual(new Set(['record.locked']));
    const bytes = await readFile(path);
    expect(verifyRecord(bytes).departures).toEqual([]);
    const { lines } = parseRecord(bytes);
    for (const { said } of all) {
      for (const { captured, sha256 } of captures(said)) expect(lines[captured! - 1]?.sha256).toBe(sha256);
    }
  });
});

describe('a file that may grow no more (ulimit -f: a real short write)', { timeout: 120_000 }, () => {
  test('ends in an entry that is not captured; the next writer sets its torn part aside and loses nothing', async () => {
    const { said } = await runWriter(['create', path], undefined, 64);
    const told = captures(said);
    expect(said.at(-1)).toEqual({ refused: 'record.not-captured' });
    const left = await readFile(path);
    expect(left.length).toBe(64 * 1024);
    expect(parseRecord(left).torn).not.toBeNull();
    const again = await runWriter(['resume', path, '2']);
    expect(again.said.at(-1)?.closed).toBeGreaterThan(0);
    const bytes = await readFile(path);
    expect(verifyRecord(bytes).departures).toEqual([]);
    const { lines } = parseRecord(bytes);
    for (const { captured, sha256 } of told) expect(lines[captured! - 1]?.sha256).toBe(sha256);
    expect(lines.some(({ entry }) => entry.kind === 'recovered')).toBe(true);
    expect(await readdir(dir)).toContain('a.owjob.torn-1');
  });
});

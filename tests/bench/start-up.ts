import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { commandList } from '../../src/cli/program/command-list.ts';
import { type Measured, median } from './benchmark.ts';

export const name = 'start-up';
export const claim = 'the built program with --help against `node -e 0`, runs taking turns';

const runs = 21;
const warmUps = 2;
const main = fileURLToPath(new URL('../../dist/src/cli/main.js', import.meta.url));

/** Returns the time of one run, and what it printed. */
function timed(args: readonly string[]): { wallMs: number; printed: string } {
  const startMs = performance.now();
  const { status, stdout, stderr } = spawnSync(process.execPath, args, {
    stdio: ['ignore', 'pipe', 'pipe'],
    encoding: 'utf8',
  });
  const wallMs = performance.now() - startMs;
  if (status !== 0) throw new Error(`node ${args.join(' ')} ended with ${status}: ${stderr}`);
  return { wallMs, printed: stdout };
}

/** Returns the median over runs that take turns, so that a busy machine slows both. @throws when there is no build */
export async function measure(): Promise<Measured> {
  if (!existsSync(main)) throw new Error('there is no build to start: run `npm run build` first');
  const helpMs: number[] = [];
  const bareMs: number[] = [];
  let printed = '';
  for (let run = -warmUps; run < runs; run++) {
    const help = timed([main, '--help']);
    const bare = timed(['-e', '0']);
    printed = help.printed;
    if (run < 0) continue;
    helpMs.push(help.wallMs);
    bareMs.push(bare.wallMs);
  }
  const listed = commandList.filter(({ name: command }) => !command.includes(' '));
  const commands = listed.filter(({ name: command }) => printed.includes(` ${command} `)).length;
  if (commands !== listed.length) throw new Error(`--help shows ${commands} of ${listed.length} commands`);
  return {
    figures: [{ what: '--help / node -e 0', value: median(helpMs) / median(bareMs), sense: 'at most', target: 1.5 }],
    work: { runs: helpMs.length, commands },
    numbers: { helpMs: median(helpMs), bareMs: median(bareMs) },
  };
}

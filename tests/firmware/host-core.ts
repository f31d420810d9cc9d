import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { missingTool } from '../support/needs.ts';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
/** Folder of the firmware: Makefile, core, board, committed image. */
export const firmwareFolder = here('../../firmware-protocol/firmware');

/** Returns why tests that build firmware with a tool must be skipped, or null when it is there. */
export function missingBuildTool(tool: string): string | null {
  const isThere = spawnSync(tool, ['--version']).status === 0;
  return missingTool(isThere, tool, 'firmware tests that need it are skipped');
}

let program: string | null = null;

/** Compiles the portable core with the host's compiler, warnings as errors, undefined behaviour as a trap. Returns the program's path. */
function compiledCore(): string {
  if (program) return program;
  const core = join(firmwareFolder, 'core');
  const sources = readdirSync(core)
    .filter((name) => name.endsWith('.c'))
    .sort()
    .map((name) => join(core, name));
  // kept for every file of this process, so it isn't a scratch folder of one of them
  const folder = mkdtempSync(join(tmpdir(), 'ohmwright-core-'));
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }));
  const out = join(folder, 'core');
  const flags = ['-std=c11', '-O1', '-g', '-Wall', '-Wextra', '-Werror', '-fsanitize=undefined'];
  execFileSync('cc', [
    ...flags,
    '-fsanitize-undefined-trap-on-error',
    '-I',
    core,
    '-o',
    out,
    here('host/harness.c'),
    ...sources,
  ]);
  program = out;
  return out;
}

/** Returns the answer line for each command line, from one fresh run of the core (see host/harness.c for the commands). */
export function runCore(commands: string[]): string[] {
  const result = spawnSync(compiledCore(), { input: `${commands.join('\n')}\n`, encoding: 'utf8', maxBuffer: 1e8 });
  const lines = result.stdout.split('\n').slice(0, -1);
  if (result.status !== 0)
    throw new Error(
      `the core ended with ${result.signal ?? result.status} at: ${commands[lines.length]}\n${result.stderr}`,
    );
  return lines.map((line) => line.trim());
}

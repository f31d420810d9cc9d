import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's folder. */
const projectFolder = fileURLToPath(new URL('../..', import.meta.url));
/** The program as it is built. */
export const mainFile = join(projectFolder, 'dist/src/cli/main.js');

/** Builds the program if it is missing or older than its sources (`npm test` has built it already). */
export function buildIfStale(): void {
  if (existsSync(mainFile) && newest('src', newest('sim', 0)) <= statSync(mainFile).mtimeMs) return;
  // beside and then renamed: another test file may run the present one
  const built = join(projectFolder, `node_modules/.built-${process.pid}`);
  const tsc = join(projectFolder, 'node_modules/typescript/bin/tsc');
  const made = spawnSync(process.execPath, [tsc, '-p', 'tsconfig.json', '--outDir', built], { cwd: projectFolder });
  if (made.status !== 0) throw new Error(`the build failed:\n${made.stdout}${made.stderr}`);
  const dist = join(projectFolder, 'dist');
  if (existsSync(dist)) renameSync(dist, `${built}.old`);
  renameSync(built, dist);
  rmSync(`${built}.old`, { recursive: true, force: true });
}

/** Returns the latest change below a folder of the project, in milliseconds, or `sinceMs` if that is later. */
function newest(folder: string, sinceMs: number): number {
  const files = readdirSync(join(projectFolder, folder), { recursive: true, withFileTypes: true });
  return files.reduce(
    (latest, file) => (file.isFile() ? Math.max(latest, statSync(join(file.parentPath, file.name)).mtimeMs) : latest),
    sinceMs,
  );
}

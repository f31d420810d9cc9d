import { readdir, readFile, readlink, realpath, stat } from 'node:fs/promises';

/** A program that has a file open. */
export interface Holder {
  pid: number;
  name: string;
}

/**
 * Returns the programs that hold a device file, as far as /proc shows them to this user; none where
 * there is no /proc.
 */
export async function portHolders(path: string, procDir = '/proc'): Promise<Holder[]> {
  const real = await orNull(realpath(path));
  const pids = (await orNull(readdir(procDir)))?.filter((name) => /^\d+$/.test(name)) ?? [];
  const holders: Holder[] = [];
  for (const pid of pids) {
    if (Number(pid) === process.pid || !(await holds(`${procDir}/${pid}/fd`, [path, real ?? path]))) continue;
    const name = (await orNull(readFile(`${procDir}/${pid}/comm`, 'utf8')))?.trim() ?? 'a program';
    holders.push({ pid: Number(pid), name });
  }
  return holders;
}

async function holds(fdDir: string, paths: readonly string[]): Promise<boolean> {
  for (const fd of (await orNull(readdir(fdDir))) ?? []) {
    const target = await orNull(readlink(`${fdDir}/${fd}`));
    if (target !== null && paths.includes(target)) return true;
  }
  return false;
}

/**
 * Returns the name of the group that owns a file, its number where /etc/group does not name it, or
 * null without such a file.
 */
export async function owningGroup(path: string, groupFile = '/etc/group'): Promise<string | null> {
  const owner = await orNull(stat(path));
  if (owner === null) return null;
  const lines = ((await orNull(readFile(groupFile, 'utf8'))) ?? '').split('\n').map((line) => line.split(':'));
  return lines.find((line) => line[2] === String(owner.gid))?.[0] ?? String(owner.gid);
}

/** What this user may not see, or what has ended meanwhile, counts as not there. */
async function orNull<T>(promise: Promise<T>): Promise<T | null> {
  return promise.catch(() => null);
}

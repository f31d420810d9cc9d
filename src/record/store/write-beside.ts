import type { Disk } from './disk.ts';

/**
 * Writes a new file beside a path, whole and synced, and returns its name. Renamed over the path it
 * takes its place; a crash before that leaves the old one. What an earlier crash left is removed.
 *
 * @throws the system's error; ESHORT when only a part was taken
 */
export async function writeBeside(disk: Disk, path: string, bytes: Uint8Array): Promise<string> {
  const beside = `${path}.new`;
  await disk.remove(beside).catch(() => undefined);
  const file = await disk.open(beside, 'wx');
  try {
    const { bytesWritten } = await file.write(bytes);
    if (bytesWritten !== bytes.length) throw Object.assign(new Error('only a part was written'), { code: 'ESHORT' });
    await file.sync();
  } finally {
    await file.close();
  }
  return beside;
}

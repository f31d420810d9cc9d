import { dirname } from 'node:path';
import { writeOutput } from '../../files/write-output.ts';
import { realDisk, syncDir } from '../store/disk.ts';
import { diskError } from '../store/record-error.ts';
import { type BenchKey, makeKeyFile, openBenchKey, successionPath } from './bench-key.ts';
import { BenchSeries } from './bench-series.ts';
import { leadsTo, succeed } from './succession.ts';

/**
 * Puts a new key in the place of the bench's: the old one signs it, and is kept beside it under
 * another name. The bench's records begin a new series, which says where the old one ended. Returns
 * the new key and where the old one is.
 *
 * @throws OhmwrightError `key.open-to-others`, `key.form`, `record.disk`
 */
export async function renewBenchKey(path: string, at: Date): Promise<{ key: BenchKey; oldPath: string }> {
  const old = openBenchKey(path);
  const newPath = `${path}.new`;
  try {
    // left by a run that was cut short: it never was the key of anything
    await realDisk.remove(newPath).catch(() => undefined);
    makeKeyFile(newPath);
    const next = openBenchKey(newPath);
    const series = new BenchSeries(path, old.publicKey);
    const statement = succeed(old, next, at.toISOString(), await series.end());
    const before = old.succession.filter(({ to }) => leadsTo(to, old.publicKey, old.succession));
    writeOutput(successionPath(path), `${JSON.stringify([...before, statement], null, 1)}\n`, { force: true });
    const oldPath = await freeName(path);
    await realDisk.link(path, oldPath);
    await series.succeed(async () => {
      await realDisk.rename(newPath, path);
      await syncDir(realDisk, dirname(path));
    });
    return { key: openBenchKey(path), oldPath };
  } catch (error) {
    throw diskError('renew the bench key', path, error);
  }
}

async function freeName(path: string): Promise<string> {
  for (let n = 1; ; n++) {
    const name = `${path}.old-${n}`;
    if ((await realDisk.look(name)) === null) return name;
  }
}

// PostgreSQL of the machine, on a socket of its own in a scratch folder: nothing of it is reachable from outside.
import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, chownSync, existsSync, globSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { missingTool } from './needs.ts';

const [binaries] = globSync('/usr/lib/postgresql/*/bin')
  .filter((path) => existsSync(join(path, 'initdb')))
  .sort()
  .reverse();

/** Returns why tests on a PostgreSQL server must be skipped, or null when there is one. */
export function missingPostgres(): string | null {
  return missingTool(binaries !== undefined, 'PostgreSQL', 'the ledger is tested on the embedded database alone');
}

/** A server that was started for tests. */
export interface TestServer {
  folder: string;
  /** Returns the address of a database, which is made when it is not there. */
  address(database: string): string;
  sql(text: string): string;
  stop(how: 'fast' | 'immediate'): void;
  start(): void;
}

/** The servers refuse to run as root. */
function identity(): { uid?: number; gid?: number } {
  if (process.getuid?.() !== 0) return {};
  const of = (flag: string): number => Number(execFileSync('id', [flag, 'postgres'], { encoding: 'utf8' }));
  return { uid: of('-u'), gid: of('-g') };
}

function runAs(command: string, args: string[]): string {
  const { status, stdout, stderr } = spawnSync(join(binaries!, command), args, {
    encoding: 'utf8',
    cwd: '/',
    stdio: ['ignore', 'pipe', 'pipe'],
    ...identity(),
  });
  if (status !== 0) throw new Error(`${command} ${args.join(' ')}: ${stdout}${stderr}`);
  return stdout;
}

/** Starts a server in a folder. `copyOf`: the server that it follows as a synchronous standby. */
export function startServer(folder: string, copyOf?: TestServer): TestServer {
  const { uid, gid } = identity();
  mkdirSync(folder, { recursive: true });
  for (const path of [folder, join(folder, '..')]) chmodSync(path, 0o755);
  if (uid !== undefined) chownSync(folder, uid, gid!);
  const data = join(folder, 'data');
  const name = folder.split('/').at(-1)!;
  if (copyOf === undefined) {
    runAs('initdb', [
      '--pgdata',
      data,
      '--username',
      'tests',
      '--auth',
      'trust',
      '--no-sync',
      '--encoding',
      'UTF8',
      '--locale',
      'C',
    ]);
  } else {
    const from = `host=${copyOf.folder} user=tests application_name=${name}`;
    runAs('pg_basebackup', [
      '--pgdata',
      data,
      '--dbname',
      from,
      '--write-recovery-conf',
      '--checkpoint',
      'fast',
      '--no-sync',
    ]);
  }
  const options = `-c listen_addresses= -c unix_socket_directories=${folder} -c max_wal_senders=4 -c wal_level=replica`;
  const start = (): void =>
    void runAs('pg_ctl', ['--pgdata', data, '--wait', '--log', join(folder, 'log'), '--options', options, 'start']);
  const sql = (text: string, database = 'postgres'): string =>
    runAs('psql', [
      '--host',
      folder,
      '--username',
      'tests',
      '--no-align',
      '--tuples-only',
      '--command',
      text,
      database,
    ]);
  start();
  return {
    folder,
    sql: (text) => sql(text),
    address(database) {
      if (sql(`select 1 from pg_database where datname = '${database}'`).trim() === '' && copyOf === undefined)
        sql(`create database ${database}`);
      return `postgres://tests@/${database}?host=${encodeURIComponent(folder)}`;
    },
    stop: (how) => void runAs('pg_ctl', ['--pgdata', data, '--wait', '--mode', how, 'stop']),
    start,
  };
}

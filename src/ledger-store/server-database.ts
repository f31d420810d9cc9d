import { setTimeout as sleep } from 'node:timers/promises';
import { Pool, type PoolClient } from 'pg';
import type { SqlStatement } from '../ledger/sql/rows-in.ts';
import { type LedgerDatabase, type Queries, withTimesAsText } from './database.ts';
import { ledgerError } from './ledger-error.ts';
import { isConflict, type Patience, sqlStateOf, tryAgain } from './retries.ts';

/** A lost connection, a server that goes down or comes up, or one that takes no writes (PostgreSQL, appendix A). */
const lostStates = /^(08...|57P0[123]|53300|25006|ECONNREFUSED|ECONNRESET|EPIPE|ENOENT|ETIMEDOUT)$/;
const usualPatience: Patience = {
  tries: 12,
  pause: (tried) => sleep(Math.min(2000, 20 * 2 ** tried) * (0.5 + Math.random())).then(() => undefined),
};

/**
 * Opens a PostgreSQL server, 15 or later. `addresses`: one or more with commas; that which takes
 * writes is used, and looked for again when it goes away.
 *
 * @throws OhmwrightError `ledger.database`
 */
export async function openServer(addresses: string, patience: Patience = usualPatience): Promise<LedgerDatabase> {
  const server = new Server(addresses.split(','), patience);
  try {
    await server.query({ text: 'select 1', values: [] });
    return server;
  } catch (error) {
    await server.close();
    const help = 'Check its address, that it runs, and that its user may create tables.';
    throw ledgerError('ledger.database', `the database does not answer (${(error as Error).message})`, help, error);
  }
}

class Server implements LedgerDatabase {
  readonly #pools: Pool[];
  readonly #patience: Patience;
  /** The address that took writes last. */
  #at = 0;

  constructor(addresses: readonly string[], patience: Patience) {
    this.#patience = patience;
    this.#pools = addresses.map((connectionString) => {
      const pool = new Pool({ connectionString: connectionString.trim(), max: 4, connectionTimeoutMillis: 5000 });
      // a connection that is lost while nobody uses it: the next one who asks finds out
      pool.on('error', () => undefined);
      return pool;
    });
  }

  query<Row>(statement: SqlStatement): Promise<Row[]> {
    return this.#patiently((client) => asking(client).query<Row>(statement));
  }

  transaction<T>(work: (asked: Queries) => Promise<T>): Promise<T> {
    return this.#patiently(async (client) => {
      await client.query('begin');
      try {
        const done = await work(asking(client));
        await client.query('commit');
        return done;
      } catch (error) {
        await client.query('rollback').catch(() => undefined);
        throw error;
      }
    });
  }

  async run(text: string): Promise<void> {
    await this.#patiently((client) => client.query(text));
  }

  async close(): Promise<void> {
    await Promise.all(this.#pools.map((pool) => pool.end().catch(() => undefined)));
  }

  #patiently<T>(work: (client: PoolClient) => Promise<T>): Promise<T> {
    const once = async (): Promise<T> => {
      const client = await this.#writer();
      let failed: unknown = null;
      try {
        return await work(client);
      } catch (error) {
        failed = error;
        throw error;
      } finally {
        // a lost connection is thrown away, any other is kept for the next
        client.release(failed !== null && isLost(failed));
      }
    };
    return tryAgain(once, (error) => isConflict(error) || isLost(error), this.#patience);
  }

  /** Returns a connection to the server that takes writes. */
  async #writer(): Promise<PoolClient> {
    let lost: unknown = null;
    for (let i = 0; i < this.#pools.length; i += 1) {
      const at = (this.#at + i) % this.#pools.length;
      try {
        const client = await this.#pools[at]!.connect();
        const { rows } =
          this.#pools.length === 1 ? { rows: [] } : await client.query('select pg_is_in_recovery() as follows');
        if (rows[0]?.follows !== true) {
          this.#at = at;
          return client;
        }
        client.release();
        lost ??= Object.assign(new Error('no address takes writes'), { code: '25006' });
      } catch (error) {
        lost = error;
      }
    }
    throw lost;
  }
}

function isLost(error: unknown): boolean {
  return lostStates.test(sqlStateOf(error)) || /terminated|timeout|closed/i.test((error as Error).message);
}

function asking(client: PoolClient): Queries {
  return {
    async query<Row>({ text, values }: SqlStatement): Promise<Row[]> {
      const { rows } = await client.query(text, [...values]);
      return rows.map((row) => withTimesAsText<Row>(row));
    },
  };
}

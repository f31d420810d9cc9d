import { PGlite } from '@electric-sql/pglite';
import type { SqlStatement } from '../ledger/sql/rows-in.ts';
import { type LedgerDatabase, type Queries, withTimesAsText } from './database.ts';

/** What of it is asked for, in a transaction or beside one. */
type Engine = Pick<PGlite, 'query'>;

/**
 * Opens the embedded database in a folder, which is made when it is not there. One process at a
 * time, which the caller has to hold. Nothing in it is synced. `template`: an empty database as the
 * engine packs it, which saves a new one its making.
 *
 * @throws whatever the engine says of a folder that it can't open
 */
export async function openEmbedded(folder: string, template?: Blob): Promise<LedgerDatabase> {
  const engine = await PGlite.create(folder, template === undefined ? {} : { loadDataDir: template });
  return {
    ...asking(engine),
    transaction: (work) => engine.transaction((inside) => work(asking(inside))) as ReturnType<typeof work>,
    run: async (text) => {
      await engine.exec(text);
    },
    close: () => engine.close(),
  };
}

function asking(engine: Engine): Queries {
  return {
    async query<Row>({ text, values }: SqlStatement): Promise<Row[]> {
      const { rows } = await engine.query(text, [...values]);
      return rows.map((row) => withTimesAsText<Row>(row));
    },
  };
}

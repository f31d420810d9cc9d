// Takes records into a ledger, and writes each that was told as taken to a file, synced: until it is killed. Arguments: folder of
// the ledger, file of what was taken, number of the first job.
import { fsyncSync, openSync, readFileSync, writeSync } from 'node:fs';
import { Ledger } from '../../src/ledger-store/ledger.ts';
import { madeRecord, packedDatabase } from '../support/ledgers.ts';

const [folder, told, from] = process.argv.slice(2) as [string, string, string];
const template = new Blob([readFileSync(packedDatabase)]);
const ledger = await Ledger.open(folder, { template });
const file = openSync(told, 'a');
for (let job = Number(from); ; job += 1) {
  // a state of it first, so that the kill meets growing records too
  await ledger.take(madeRecord({ job: `job-${job}`, entries: 10 }));
  const { record, entries } = await ledger.take(madeRecord({ job: `job-${job}` }));
  writeSync(file, `${record} ${entries}\n`);
  fsyncSync(file);
}

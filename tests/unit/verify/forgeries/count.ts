// How many forgeries of each class are found: node tests/unit/verify/forgeries/count.ts [MODULE]   (ONLY=CLASS: that one)
// MODULE: the file of another version that exports verifyWhole; it is given records of format 1 alone.
import { readdirSync } from 'node:fs';
import { resolve } from 'node:path';
import { verifyWhole } from '../../../../src/verify/conclusions/verify-conclusions.ts';
import { keptRecord } from '../forged.ts';
import { classes } from './classes.ts';

const [module] = process.argv.slice(2);
const names = readdirSync(new URL('../../../fixtures/records/', import.meta.url))
  .map((name) => name.replace('.owjob', ''))
  .filter((name) => module === undefined || name.startsWith('format-1'));
type Verify = (bytes: Uint8Array, options: object) => { ok: boolean };
const verify: Verify =
  module === undefined ? verifyWhole : ((await import(resolve(module))) as { verifyWhole: Verify }).verifyWhole;

for (const [name, forge] of Object.entries(classes)) {
  if (process.env.ONLY !== undefined && process.env.ONLY !== name) continue;
  const tried = names.flatMap((record) => forge({ name: record, bytes: keptRecord(record) }));
  const missed = tried.filter(({ bytes, holds }) => verify(bytes, { tool: 'ohmwright 0.2.0', ...holds }).ok);
  process.stdout.write(
    `${JSON.stringify({ class: name, tried: tried.length, found: tried.length - missed.length })}\n`,
  );
  for (const { record, what } of missed) process.stderr.write(`not found: ${name}: ${record}: ${what}\n`);
}

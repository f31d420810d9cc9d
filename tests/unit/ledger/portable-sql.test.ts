// The SQL of the ledger stays inside what PostgreSQL-compatible distributed engines take too. Which constructs these lack is from
// their public documentation, as named in the list; nothing is claimed of an engine that was not run.
import { globSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const root = new URL('../../../', import.meta.url);
const files = globSync(['src/ledger/**/*.ts', 'src/ledger-store/**/*.ts'], { cwd: root });
const sources = files.map((path) => ({ path, text: readFileSync(new URL(path, root), 'utf8') }));

const outside: readonly { name: string; pattern: RegExp; example: string }[] = [
  {
    name: 'keys that are counted',
    pattern: /\b(?:big|small)?serial primary|generated (?:always|by default)|create sequence|nextval/i,
    example: 'n bigserial primary key',
  },
  { name: 'locks of a table', pattern: /\block table\b/i, example: 'lock table record' },
  { name: 'advisory locks', pattern: /pg_(?:try_)?advisory/i, example: 'select pg_advisory_lock(1)' },
  { name: 'triggers and rules', pattern: /create (?:trigger|rule)\b/i, example: 'create trigger t' },
  { name: 'inheritance', pattern: /\binherits\s*\(/i, example: 'inherits (record)' },
  { name: 'constraints that wait', pattern: /\bdeferrable\b/i, example: 'deferrable initially deferred' },
  {
    name: 'exclusion constraints and their indexes',
    pattern: /\bexclude using\b|using gist/i,
    example: 'exclude using gist',
  },
  { name: 'foreign keys', pattern: /\breferences\s+\w+\s*\(|foreign key/i, example: 'references record (id)' },
  { name: 'quantiles over raw rows', pattern: /percentile_(?:cont|disc)/i, example: 'percentile_cont(0.5)' },
  { name: 'notifications', pattern: /\bnotify\s+\w+|\blisten\s+\w+;/i, example: 'notify jobs' },
  { name: 'pages by counting rows', pattern: /\boffset\s+\$/i, example: 'offset $1' },
  { name: 'what only version 18 knows', pattern: /returning\s+(?:old|new)\./i, example: 'returning old.head' },
];

describe.each(outside)('$name', ({ pattern, example }) => {
  test('are known when they are met', () => expect(example).toMatch(pattern));
  test('are in no statement', () => {
    expect(sources.length).toBeGreaterThan(12);
    expect(sources.filter(({ text }) => pattern.test(text)).map(({ path }) => path)).toEqual([]);
  });
});

test('each table of a record begins its key with that of the record', () => {
  const { text } = sources.find(({ path }) => path.endsWith('migrations.ts'))!;
  const ofRecords = [...text.matchAll(/create table (\w+) \(([^;]*)\);/g)].filter(([, , body]) =>
    /^\s*id uuid/.test(body!),
  );
  expect(ofRecords.length).toBeGreaterThanOrEqual(6);
  for (const [, name, body] of ofRecords)
    expect([name, /primary key \(id|id uuid primary key/.test(body!)]).toEqual([name, true]);
});

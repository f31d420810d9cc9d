import { existsSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const root = new URL('../../../', import.meta.url);
const page = readFileSync(new URL('src/verify/THREATS.md', root), 'utf8');
/** A test as the page names it: its file, and words of its name. */
const named = [...page.matchAll(/`(tests\/[^`]+\.test\.ts)`(?:: ([^|\n]+?))?(?= *[|\n])/g)];

test('each test that the page of threats names is there', () => {
  expect(named.length).toBeGreaterThan(20);
  const missing = named.filter(([, file, words]) => {
    const at = new URL(file!, root);
    return !existsSync(at) || (words !== undefined && !readFileSync(at, 'utf8').includes(words));
  });
  expect(missing.map(([whole]) => whole)).toEqual([]);
});

test('each row of what is found names its test', () => {
  const found = page.slice(page.indexOf('## What is found'), page.indexOf('## What is not found'));
  const rows = found
    .split('\n')
    .filter((line) => line.startsWith('|'))
    .slice(2);
  expect(rows.length).toBeGreaterThan(15);
  expect(rows.filter((row) => !row.includes('`tests/'))).toEqual([]);
});

import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { cHeader, type MessageTable, outputs } from '../../firmware-protocol/generate.ts';

test.each(outputs().map(([path, text]) => ({ name: path.pathname.split('/').slice(-2).join('/'), path, text })))(
  '$name is what the table makes (run `npm run generate`)',
  ({ path, text }) => {
    expect(readFileSync(path, 'utf8')).toBe(text);
  },
);

test('codes are unique within each kind, and requests, notices and answers do not overlap', () => {
  const table = JSON.parse(
    readFileSync(new URL('../../firmware-protocol/messages.json', import.meta.url), 'utf8'),
  ) as MessageTable;
  const types = [...Object.values(table.requests), ...Object.values(table.notices)].map((m) => m.type);
  expect(new Set(types).size).toBe(types.length);
  expect(Math.max(...types)).toBeLessThan(table.answerBit);
  for (const codes of [
    Object.values(table.status).map((s) => s.code),
    Object.values(table.flags).map((f) => f.bit),
    ...Object.values(table.enums).map((e) => Object.values(e)),
  ])
    expect(new Set(codes).size).toBe(codes.length);
  expect(cHeader(table)).toContain('#define OW_BRIDGE_MAX_MS');
});

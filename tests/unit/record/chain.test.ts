import { describe, expect, test } from 'vitest';
import { canonicalJson } from '../../../src/record/chain/canonical.ts';
import { firstPrev, openLine, sealEntry, sha256 } from '../../../src/record/chain/chain.ts';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { captured, chainOf, opened, wholeJob } from '../../support/sample-job.ts';

const place = { prev: firstPrev, n: 1, at: '2031-05-17T08:00:00.000Z' };
const lineOf = (body: string) => Buffer.from(`{"body":${body},"sha256":"${sha256(body)}"}`);

describe('sealing an entry', () => {
  test.each<[string, NewEntry]>([
    ['a number that is not finite', captured('spring', 1, 1, { pInside: Number.NaN })],
    ['a field that is not known', { ...captured('spring', 1), colour: 'red' } as NewEntry],
    ['limits that bind nothing', captured('spring', 1, 1, { limits: { quantity: 'resistance' } })],
    ['half of a surrogate pair', { kind: 'note', text: '\ud83d' }],
    ['a job id with a path in it', { ...opened, job: '../elsewhere' }],
    ['a code that no converter gives', captured('spring', 1, 1, { capture: badCode() })],
  ])('refuses %s', (_, entry) => {
    expect(sealEntry(entry, place).ok).toBe(false);
  });

  test('gives back the entry as it stands in the file', () => {
    const sealed = sealEntry({ kind: 'live', tUs: -0, volt: null, check: null, where: 'before' }, place);
    expect(sealed.ok && Object.is((sealed.entry as { tUs: number }).tUs, 0)).toBe(true);
  });
});

function badCode() {
  const good = captured('spring', 1).capture!;
  return { ...good, window: { ...good.window, codes: [0.5] } };
}

describe('opening a line', () => {
  const note = canonicalJson({ ...place, kind: 'note', text: 'x' });

  test.each([
    ['line.layout', Buffer.from('')],
    ['line.layout', Buffer.from('hello')],
    ['line.layout', Buffer.from(`{"body":${note},"sha256":"${sha256(note)}"} `)],
    ['line.hash', Buffer.from(`{"body":${note},"sha256":"${sha256('x')}"}`)],
    ['line.hash', Buffer.from(`{"body":${note},"sha256":"${sha256(note).toUpperCase()}"}`)],
    ['line.text', lineOf('{"kind":')],
    ['line.canonical', lineOf(note.replace(':1', ': 1'))],
    ['line.canonical', lineOf(note.replace('"n":1', '"n":1.0'))],
    ['line.canonical', lineOf(note.replace('"n":1', '"n":1,"n":1'))],
    ['entry.kind', lineOf(canonicalJson({ ...place, kind: 'sonnet', text: 'x' }))],
    ['entry.schema', lineOf(canonicalJson({ ...place, kind: 'note' }))],
    ['entry.schema', lineOf(canonicalJson({ ...place, kind: 'note', text: 'x', more: 1 }))],
    ['entry.schema', lineOf(canonicalJson({ ...place, at: 'yesterday', kind: 'note', text: 'x' }))],
    ['entry.schema', lineOf(canonicalJson({ ...place, n: 0, kind: 'note', text: 'x' }))],
    ['entry.schema', lineOf('[]')],
  ])('says %s', (code, line) => {
    expect(openLine(line)).toMatchObject({ ok: false, code });
  });

  test('tells bytes that are no UTF-8 from text', () => {
    const body = Buffer.concat([Buffer.from('{"a":"'), Buffer.of(0xff), Buffer.from('"}')]);
    const line = Buffer.concat([Buffer.from('{"body":'), body, Buffer.from(`,"sha256":"${sha256(body)}"}`)]);
    expect(openLine(line)).toMatchObject({ ok: false, code: 'line.text' });
  });
});

describe('a record cut at every byte', { timeout: 120_000 }, () => {
  const { bytes, lines } = chainOf(wholeJob().slice(0, 8));

  test('gives all entries that are whole, and what is left as a torn end', () => {
    const ends = lines.map((line, i) => Buffer.concat(lines.slice(0, i)).length + line.length);
    for (let cut = 0; cut <= bytes.length; cut += 1) {
      const parsed = parseRecord(bytes.subarray(0, cut));
      // an entry is whole with or without the newline behind it
      const whole = ends.filter((end) => end - 1 <= cut).length;
      const inside = cut - (ends.filter((end) => end <= cut).at(-1) ?? 0);
      const unended = ends.includes(cut + 1);
      expect(parsed.lines.length).toBe(whole);
      expect(parsed.damage).toEqual([]);
      expect(parsed.unended).toBe(unended);
      expect(parsed.torn?.bytes.length ?? 0).toBe(unended ? 0 : inside);
    }
  });
});

describe('a record that is damaged', () => {
  const { bytes, lines } = chainOf(wholeJob());

  test('keeps what is whole before, and tells what is whole behind', () => {
    const broken = Buffer.from(bytes);
    const at = lines[0]!.length + lines[1]!.length + 20;
    broken[at] = broken[at]! ^ 1;
    const parsed = parseRecord(broken);
    expect(parsed.damage).toMatchObject([{ line: 3, code: 'line.hash', offset: lines[0]!.length + lines[1]!.length }]);
    expect(parsed.lines).toHaveLength(2);
    expect(parsed.beyond).toHaveLength(lines.length - 3);
  });

  test('shows a line that was taken out, doubled or moved', () => {
    const without = Buffer.concat([...lines.slice(0, 4), ...lines.slice(5)]);
    expect(parseRecord(without).damage[0]).toMatchObject({ line: 5, code: 'chain.prev' });
    const doubled = Buffer.concat([...lines.slice(0, 4), lines[3]!, ...lines.slice(4)]);
    expect(parseRecord(doubled).damage[0]).toMatchObject({ line: 5, code: 'chain.prev' });
    const moved = Buffer.concat([lines[0]!, lines[2]!, lines[1]!, ...lines.slice(3)]);
    expect(parseRecord(moved).damage[0]).toMatchObject({ line: 2, code: 'chain.prev' });
    expect(parseRecord(Buffer.concat(lines.slice(1))).damage[0]).toMatchObject({ line: 1, code: 'chain.prev' });
  });

  test('is not a torn one: a last line with its newline is damage, unless zeros of a lost block are in it', () => {
    const flipped = Buffer.from(bytes);
    flipped[bytes.length - 100] = flipped[bytes.length - 100]! ^ 1;
    expect(parseRecord(flipped)).toMatchObject({ torn: null, damage: [{ line: lines.length }] });
    const zeroed = Buffer.from(bytes);
    zeroed.fill(0, bytes.length - 100, bytes.length - 40);
    expect(parseRecord(zeroed)).toMatchObject({ torn: { line: lines.length }, damage: [] });
  });

  test('never makes the reader throw, whatever the bytes', () => {
    for (const text of ['\n', '\n\n\n', '{}\n', 'null\n', '{"body":{},"sha256":"', '\0\0\0', '\ufeff{"body":']) {
      expect(parseRecord(Buffer.from(text)).lines).toEqual([]);
    }
  });
});

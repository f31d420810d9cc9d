import { parse } from 'csv-parse/sync';
import jsqr from 'jsqr';
import { Parser } from 'tap-parser';
import { describe, expect, test } from 'vitest';
import { convert } from 'xmlbuilder2';
import type { NewEntry } from '../../src/record/entries/entries.ts';
import { ciCases } from '../../src/report/handover/ci-cases.ts';
import { junitXml } from '../../src/report/handover/junit.ts';
import { labelCode, labelSvg, labelText, labelWidths } from '../../src/report/handover/label.ts';
import { readingsCsv } from '../../src/report/handover/readings-csv.ts';
import { tapText } from '../../src/report/handover/tap.ts';
import { recordOf } from '../support/report-records.ts';
import { captured, opened, presses, probe, proof, proofs, wholeJob } from '../support/sample-job.ts';

// the package's types speak of a module with a default, Node gives the function itself
const readQr = jsqr as unknown as typeof jsqr.default;

const awkward = 'a "b",\n#c; <d> & =e \u0007 \u{1F525}';
const failing: NewEntry[] = [
  opened,
  probe(),
  ...proofs('opening'),
  { ...captured('spring', 5), why: awkward },
  { kind: 'skipped', check: 'lens', reason: awkward, by: 'person' },
  presses('key', [0.3, 'missed']),
  ...proofs('closing'),
];

// Independent readers: csv-parse, tap-parser, xmlbuilder2's parser and jsqr, general-purpose packages of the npm registry.
describe('readings as CSV (RFC 4180)', () => {
  test('come back number for number', async () => {
    const read = await recordOf(failing);
    const rows = parse(readingsCsv([read]), { columns: true }) as Record<string, string>[];
    expect(rows.map(({ check, outcome }) => [check, outcome])).toEqual([
      ['spring', 'fail'],
      ['key', 'fail'],
    ]);
    const entry = read.entries.find((one) => one.kind === 'capture')!;
    expect(Number(rows[0]!.value)).toBe(entry.reading!.value);
    expect(Number(rows[0]!.u)).toBe(entry.reading!.u);
    expect(Number(rows[0]!.limit_max)).toBe(2);
    expect(rows[0]!.why).toBe(awkward);
  });

  test('hold no formula that a spreadsheet would work out', async () => {
    const read = await recordOf([opened, probe(), { ...captured('spring', 5), why: '=1+1' }]);
    expect(parse(readingsCsv([read]), { columns: true })).toMatchObject([{ why: "'=1+1" }]);
  });
});

describe('jobs in the Test Anything Protocol', () => {
  const results = async (entries: NewEntry[], departures = 0) => {
    const job = { state: (await recordOf(entries)).state, departures };
    return Parser.parse(tapText([job, job]));
  };

  test('are understood by a parser, with failures and skips where they belong', async () => {
    const parsed = await results(failing);
    const asserts = parsed
      .filter(([kind]) => kind === 'assert')
      .map(([, one]) => one as { ok: boolean; skip: unknown; diag: unknown });
    expect(asserts.map(({ ok }) => ok)).toEqual([false, false, true, true, false, false, false, true, true, false]);
    expect(asserts.map(({ skip }) => skip !== false)).toEqual([
      false,
      false,
      true,
      false,
      false,
      false,
      false,
      true,
      false,
      false,
    ]);
    expect(asserts[0]!.diag).toMatchObject({ severity: 'failure', message: `fail: ${awkward}` });
    const complete = parsed.find(([kind]) => kind === 'complete')?.[1] as { ok: boolean; count: number };
    expect(complete).toMatchObject({ ok: false, count: 10 });
  });

  test('are good only when the job is', async () => {
    const complete = (parsed: Awaited<ReturnType<typeof results>>) => parsed.find(([kind]) => kind === 'complete')?.[1];
    expect(complete(await results(wholeJob()))).toMatchObject({ ok: true, count: 10 });
    expect(complete(await results(wholeJob(), 1))).toMatchObject({ ok: false, count: 10 });
    // nothing done at all: every check is skipped, and yet it is not good
    expect(complete(await results([opened, probe()]))).toMatchObject({ ok: false });
  });
});

describe('jobs as JUnit XML', () => {
  test('are well-formed XML whose counts are those of its cases', async () => {
    const { state } = await recordOf(failing);
    const text = junitXml([{ state, departures: 2 }]);
    const suite = (convert(text, { format: 'object' }) as { testsuites: { testsuite: Record<string, unknown> } })
      .testsuites.testsuite;
    const cases = suite.testcase as Record<string, unknown>[];
    expect(suite).toMatchObject({ '@tests': '5', '@failures': '3', '@errors': '1', '@skipped': '1' });
    expect(cases).toHaveLength(5);
    expect(cases.map((one) => ['failure', 'error', 'skipped'].find((kind) => kind in one) ?? 'passed')).toEqual([
      'failure',
      'failure',
      'skipped',
      'error',
      'failure',
    ]);
  });
});

describe('what continuous integration gets of a pass that rests on a proof which failed', () => {
  test('is an error, never a pass', async () => {
    const { state } = await recordOf([
      opened,
      probe(),
      ...proofs('opening'),
      captured('spring', 0.4),
      proof('closing', 'check-resistor', 200),
    ]);
    const spring = ciCases({ state, departures: 0 }).find(({ name }) => name === 'spring');
    expect(state.checks.spring).toMatchObject({ outcome: 'pass', doubtful: true });
    expect(spring?.kind).toBe('error');
  });
});

describe('the label', () => {
  test.each(labelWidths)('fits a printer of %i columns and is plain ASCII', async (width) => {
    const device = { maker: 'Québec & Söhne \u{1F525}', name: 'x'.repeat(70), revision: 'B' };
    const { state } = await recordOf([{ ...opened, device, ticket: 'T-1' }, ...wholeJob().slice(1)]);
    const lines = labelText({ state, digest: 'ab'.repeat(32), verifies: true }, width)
      .trimEnd()
      .split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width);
    expect(lines.join('')).toMatch(/^[\x20-\x7e]+$/);
    expect(lines.join('').replaceAll(' ', '')).toContain('ab'.repeat(32));
    expect(lines).toContain('PASSED');
  });

  test.each(labelWidths)('claims nothing for a record that does not verify, on %i columns', async (width) => {
    const { state } = await recordOf(wholeJob());
    const source = { state, digest: 'ab'.repeat(32), verifies: false };
    const text = labelText(source, width);
    expect(text).not.toMatch(/passed|signed/i);
    expect(text).toContain('DOES NOT VERIFY');
    expect(labelCode(source)).not.toContain('passed');
  });

  test('has a QR code (ISO/IEC 18004) that another reader reads', async () => {
    const { state } = await recordOf(wholeJob());
    const source = { state, digest: 'c0ffee'.repeat(10), verifies: true };
    const { data, width } = pixelsOf(labelSvg(source));
    expect(readQr(data, width, width)?.data).toBe(labelCode(source));
  });
});

/** Draws the dark squares of a QR code's SVG, eight pixels a module. */
function pixelsOf(svg: string): { data: Uint8ClampedArray; width: number } {
  const size = Number(/viewBox="0 0 (\d+)/.exec(svg)?.[1]);
  const modulePixels = Number(/M\d+,\d+ ?h(\d+)/.exec(svg)?.[1]);
  const scale = 8 / modulePixels;
  const width = size * scale;
  const data = new Uint8ClampedArray(width * width * 4).fill(255);
  for (const [, x, y] of svg.matchAll(/M(\d+),(\d+)/g)) {
    for (let dy = 0; dy < 8; dy++) {
      const at = ((Number(y) * scale + dy) * width + Number(x) * scale) * 4;
      data.fill(0, at, at + 8 * 4);
      for (let dx = 0; dx < 8; dx++) data[at + dx * 4 + 3] = 255;
    }
  }
  return { data, width };
}

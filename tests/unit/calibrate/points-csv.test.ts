import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parsePointsCsv } from '../../../src/calibrate/points/points-csv.ts';
import { parseResistorSet, type ResistorSet } from '../../../src/calibrate/standards/resistor-set.ts';

function setOf(text: string): ResistorSet {
  const parsed = parseResistorSet(text);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.set;
}

const set = setOf('set: 1\nid: A\ncommon: 0.02 %\nresistors:\n  - { name: R1, is: 4.7 ohm 0.1 % }\n');
const names = 'range,level,standard,code,u_code,n';
const wide = `${names},ohm,u_ohm,u_common_rel,volt,u_volt`;

function pointOf(row: string, given: ResistorSet | null = set, head = names) {
  const parsed = parsePointsCsv(`${head}\n${row}\n`, given);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.points[0]!;
}

describe('a file of points', () => {
  test.each([
    [
      '1,normal,short,328.1,0.9,28',
      { range: 1, level: 'normal', standard: { kind: 'short' }, code: 328.1, uCode: 0.9, n: 28 },
    ],
    ['4,dry,OPEN,13430,1e0,1', { range: 4, level: 'dry', standard: { kind: 'open' }, uCode: 1 }],
    [
      '1,normal,R1,4440,1,28',
      { standard: { kind: 'resistor', ohm: 4.7, name: 'R1', uCommonRel: 0.0002 / Math.sqrt(3) } },
    ],
    ['2,normal,470 ohm 1 %,4440,1,28', { standard: { ohm: 470, uOhm: 4.7 / Math.sqrt(3), uCommonRel: 0 } }],
    ['2,normal,"brown, black, red, gold",4440,1,28', { standard: { ohm: 1000, uOhm: 50 / Math.sqrt(3) } }],
  ])('%s', (row, wanted) => {
    expect(pointOf(row)).toMatchObject(wanted);
  });

  test('numbers of its own hold over the name', () => {
    expect(pointOf('1,normal,R1,4440,1,28,4.6987,0.0002,1e-5,,', set, wide)).toMatchObject({
      standard: { kind: 'resistor', ohm: 4.6987, uOhm: 0.0002, uCommonRel: 1e-5, name: 'R1' },
    });
    expect(pointOf('0,voltage,volt,8800,1,28,,,,1.5,0.001', set, wide)).toMatchObject({
      standard: { kind: 'volt', volt: 1.5, uVolt: 0.001 },
    });
  });

  test('columns may stand in any order, beside others, between comments', () => {
    const text = '# a sitting\nn,who,code,u_code,standard,level,range\n\n28,me,330,1,short,dry,3\n# the end\n';
    const parsed = parsePointsCsv(text, null);
    expect(parsed).toMatchObject({ ok: true, lines: [4], points: [{ range: 3, level: 'dry', code: 330, n: 28 }] });
  });

  test.each([
    ['code', '1,normal,R1,16369,1,28'],
    ['standard', '1,normal,R9,4440,1,28'],
    ['standard', '1,normal,,4440,1,28'],
    ['standard', '1,normal,470 ohm,4440,1,28'],
    ['level', '1,low,short,330,1,28'],
    ['code', '1,normal,short,about 330,1,28'],
    ['code', '1,normal,short,"330,5",1,28'],
    ['code', '1,normal,short,,1,28'],
    ['code', '1,normal,short,Infinity,1,28'],
    ['u_code', '1,normal,short,330,1 code,28'],
    ['range', '1.5,normal,short,330,1,28'],
    [null, '1,normal,short,330,1'],
    [null, '1,normal,short,330,-1,28'],
    [null, '1,normal,short,330,1,0'],
    [null, '0,voltage,R1,330,1,28'],
  ])('a fault in column %s is told with its line: %s', (column, row) => {
    const parsed = parsePointsCsv(`${names}\n1,normal,short,330,1,28\n${row}\n`, set);
    expect(parsed.ok ? null : parsed.problems.map((problem) => [problem.line, problem.column])).toEqual([[3, column]]);
  });

  test.each([
    ['volt', '0,voltage,volt,8800,1,28,,,,,0.001'],
    ['u_volt', '0,voltage,volt,8800,1,28,,,,1.5,'],
    ['u_ohm', '1,normal,R1,4440,1,28,4.7,,,,'],
    ['ohm', '1,normal,R1,4440,1,28,4k7,1,,,'],
  ])('a missing or wrong %s', (column, row) => {
    const parsed = parsePointsCsv(`${wide}\n${row}\n`, set);
    expect(parsed.ok ? null : parsed.problems[0]!.column).toBe(column);
  });

  test.each([
    ['an empty file', ''],
    ['names only', `${names}\n`],
    ['a missing column', 'range,level,standard,code,n\n1,normal,short,330,28\n'],
    ['a column that stands twice', `${names},n\n1,normal,short,330,1,28,28\n`],
    ['an open quote', `${names}\n1,normal,"short,330,1,28\n`],
    ['no CSV at all', '<html><body>points</body></html>'],
  ])('refuses %s in one sentence', (_name, text) => {
    const parsed = parsePointsCsv(text, set);
    expect(parsed.ok ? null : parsed.problems).toHaveLength(1);
  });

  test('never throws, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.boolean(), (text, headed) => {
        const parsed = parsePointsCsv(headed ? `${names}\n${text}` : text, set);
        return parsed.ok || parsed.problems.length > 0;
      }),
    );
  });

  test('the example is read whole', () => {
    const read = (file: string) => readFileSync(new URL(`../../../examples/${file}`, import.meta.url), 'utf8');
    const parsed = parsePointsCsv(read('bench-points.csv'), setOf(read('bench-resistors.yaml')));
    expect(parsed.ok && parsed.points.length).toBeGreaterThan(50);
  });
});

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { csvRows } from '../../../src/calibrate/points/csv-rows.ts';

const fieldsOf = (text: string) => {
  const read = csvRows(text);
  return read.ok ? read.rows.map(({ fields }) => fields) : read;
};

describe('CSV after RFC 4180', () => {
  // the forms of section 2 of the RFC
  test('reads its examples', () => {
    expect(fieldsOf('aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n')).toEqual([
      ['aaa', 'bbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ]);
    expect(fieldsOf('aaa,bbb,ccc\r\nzzz,yyy,xxx')).toHaveLength(2);
    expect(fieldsOf('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx')).toEqual([
      ['aaa', 'b\r\nbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ]);
    expect(fieldsOf('"aaa","b""bb","ccc"')).toEqual([['aaa', 'b"bb', 'ccc']]);
  });

  test('counts lines, passes over comments, empty lines and a byte-order mark, and knows semicolons', () => {
    const read = csvRows('\uFEFF# made up\n\nunit;ohm\n"two\nlines";1\nb;2\n');
    expect(read).toEqual({
      ok: true,
      rows: [
        { line: 3, fields: ['unit', 'ohm'] },
        { line: 4, fields: ['two\nlines', '1'] },
        { line: 6, fields: ['b', '2'] },
      ],
    });
  });

  test('tells where a quote is not closed or goes on', () => {
    expect(csvRows('a,b\n1,"2\n3,4\n')).toMatchObject({ ok: false, line: 2 });
    expect(csvRows('a,b\n"1"x,2\n')).toMatchObject({ ok: false, line: 2 });
  });

  test('takes any text back that was quoted, and never throws', () => {
    const field = fc.string().filter((text) => !text.includes('\uFEFF'));
    fc.assert(
      fc.property(fc.array(fc.array(field, { minLength: 2, maxLength: 4 }), { minLength: 1 }), (rows) => {
        const text = rows.map((row) => row.map((each) => `"${each.replaceAll('"', '""')}"`).join(',')).join('\n');
        expect(fieldsOf(text)).toEqual(rows);
      }),
    );
    fc.assert(fc.property(fc.string(), (text) => typeof csvRows(text).ok === 'boolean'));
  });
});

// Averaging, range choice and button debouncing of the firmware core.
import { describe, expect, test } from 'vitest';
import { missingBuildTool, runCore } from './host-core.ts';

const zero = 327; // live zero, sum of 16
const code = (ohm: number, sourceOhm: number, gain = 20) =>
  Math.min(16368, Math.round(327.68 + (gain / 20) * 13107.2 * (ohm / (ohm + sourceOhm))));
const one = (command: string) => runCore([command])[0]!;
const source = [10, 10, 1000, 33_000, 1_000_000];
const gain = [200, 20, 20, 20, 20];

describe.skipIf(missingBuildTool('cc'))('averaging', () => {
  test('16 conversions are summed, the 17th is the tip voltage', () => {
    const first = Array.from({ length: 16 }, (_, i) => 100 + i);
    expect(one(`average ${[...first, 512, ...first.map((n) => n + 1), 513].join(' ')}`)).toBe('1720 512 0 1736 513 0');
  });

  test('full scale is 16368, and the converter end is told, also by a single conversion', () => {
    const flat = (n: number) => Array.from({ length: 16 }, () => n);
    expect(one(`average ${[...flat(1023), 0].join(' ')}`)).toBe('16368 0 1');
    expect(one(`average ${[...flat(1022), 1023].join(' ')}`)).toBe('16352 1023 0');
    expect(one(`average ${[0, ...flat(5).slice(1), 1].join(' ')}`)).toBe('75 1 1');
  });
});

describe.skipIf(missingBuildTool('cc'))('range choice', () => {
  test('up takes two readings in a row, down takes one', () => {
    expect(one(`range 1 0 13000 5000 13000 13000`)).toBe('1 1 1 2');
    expect(one(`range 2 0 1200`)).toBe('1');
  });

  test('thresholds: 745 and 60 of 819 converter codes above the live zero', () => {
    expect(one(`range 2 0 ${zero + 745 * 16} ${zero + 745 * 16}`)).toBe('2 2');
    expect(one(`range 2 0 ${zero + 745 * 16 + 1} ${zero + 745 * 16 + 1}`)).toBe('2 3');
    expect(one(`range 2 0 ${zero + 60 * 16}`)).toBe('2');
    expect(one(`range 2 0 ${zero + 60 * 16 - 1}`)).toBe('1');
  });

  test('the ends are the ends; the dry level has no range 0', () => {
    expect(one(`range 4 0 16368 16368 16368`)).toBe('4 4 4');
    expect(one(`range 0 0 ${zero} ${zero}`)).toBe('0 0');
    expect(one(`range 1 1 ${zero} ${zero}`)).toBe('1 1');
    expect(one(`range 2 1 ${zero} ${zero}`)).toBe('1 1');
  });

  // Any steady resistance must come to rest on one range, from either end, and where it can be measured.
  test.each([0, 0.005, 0.05, 0.5, 0.79, 0.9, 1, 2, 20, 79, 90, 100, 330, 5e3, 8e3, 1e4, 1e5, 3e5, 1e6, 1e7])(
    '%d ohm comes to rest',
    (ohm) => {
      for (const from of [0, 4]) {
        let range = from;
        const seen: number[] = [];
        for (let step = 0; step < 8; step++) {
          const n = code(ohm, source[range]!, gain[range]!);
          range = Number(one(`range ${range} 0 ${n} ${n}`).split(' ').at(-1));
          seen.push(range);
        }
        expect(new Set(seen.slice(4)).size, `from ${from}: ${seen}`).toBe(1);
        const n = code(ohm, source[range]!, gain[range]!);
        if (range < 4) expect(n).toBeLessThan(zero + 745 * 16 + 2);
        if (range > 0) expect(n).toBeGreaterThan(zero + 60 * 16 - 2);
      }
    },
  );

  test('one reading is dropped after a change; 2 ms of them on the way to 1 Mohm', () => {
    expect(runCore(['blank 0 884', 'blank 3 442', 'blank 4 1768', 'blank 4 884', 'blank 4 442'])).toEqual([
      '1',
      '1',
      '2',
      '3',
      '5',
    ]);
  });
});

describe.skipIf(missingBuildTool('cc'))('button', () => {
  test('bounce is swallowed, a press and its length are told', () => {
    expect(one('button 1:1000 0:2000 1:3000 1:22999 1:23000 1:500000 0:503000 1:504000 0:505000 0:525000')).toBe(
      'down@23000 up@525000:502',
    );
  });
  test('across the wrap of the clock', () => {
    expect(one(`button 1:4294960000 1:12704 0:100000 0:120000`)).toBe('down@12704 up@120000:107');
  });
});

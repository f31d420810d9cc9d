import { describe, expect, test } from 'vitest';
import { listedLines } from '../../../src/view/text/list.ts';

describe('a list in lines', () => {
  const items = Array.from({ length: 12 }, (_, i) => `check number ${i + 1} of a guide`);
  const lines = listedLines('  not done', items);

  test('begins with how many there are, and leaves none out', () => {
    expect(lines[0]).toBe('  not done (12):');
    expect(
      lines
        .slice(1)
        .map((line) => line.trim())
        .join(' ')
        .split('; '),
    ).toEqual(items);
  });

  test('is set under its head, in lines that a narrow window holds', () => {
    for (const line of lines.slice(1)) {
      expect(line).toMatch(/^ {4}\S/);
      expect(line.length).toBeLessThanOrEqual(80);
    }
    expect(lines.length).toBeGreaterThan(3);
  });

  test('leaves a long item whole', () => {
    expect(listedLines('open', ['a', 'x'.repeat(200)])).toEqual(['open (2):', '  a;', `  ${'x'.repeat(200)}`]);
  });
});

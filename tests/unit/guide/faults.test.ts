import { describe, expect, test } from 'vitest';
import {
  faultLinkOhm,
  faultText,
  filmBrokenOhm,
  filmDryOhm,
  openOhm,
  parseFault,
} from '../../../src/guide/circuit/faults.ts';
import { guideOf, smallGuide } from '../../support/example-guide.ts';

const guide = guideOf(smallGuide);
const line = guide.links[1]!;

describe('faults as they are typed', () => {
  test.each([
    ['line=open', { link: 'line', mode: 'open' }],
    ['line=high', { link: 'line', mode: 'high' }],
    ['line=high:47ohm', { link: 'line', mode: 'high', ohm: 47 }],
    [' line = high : 4.7 kohm ', { link: 'line', mode: 'high', ohm: 4700 }],
    ['line=short:VCC', { link: 'line', mode: 'short', node: 'VCC' }],
    ['line=film', { link: 'line', mode: 'film' }],
    ['line=weak:10ohm', { link: 'line', mode: 'weak', ohm: 10 }],
    ['line=intermittent', { link: 'line', mode: 'intermittent' }],
    ['sw=stuck', { link: 'sw', mode: 'stuck' }],
  ])('%s', (text, fault) => {
    expect(parseFault(text, guide)).toEqual({ ok: true, fault });
  });

  test('are written as they are read', () => {
    for (const text of ['line=open', 'line=high:47ohm', 'line=short:VCC', 'sw=stuck']) {
      const parsed = parseFault(text, guide);
      expect(parsed.ok && faultText(parsed.fault)).toBe(text);
    }
  });

  test.each([
    ['line', 'LINK=MODE'],
    ['', 'LINK=MODE'],
    ['lime=open', "'line'"],
    ['line=broken', 'high'],
    ['pull=film', 'resistor'],
    ['line=stuck', 'spring contact'],
    ['line=high:47', 'unit'],
    ['line=high:0 ohm', 'above 0'],
    ['line=open:47ohm', 'takes no value'],
    ['line=short', 'short:NODE'],
    ['line=short:VCX', "'VCC'"],
    ['line=short:A', 'another node'],
  ])('%j is refused and says why', (text, part) => {
    const parsed = parseFault(text, guide);
    expect(parsed.ok).toBe(false);
    expect(!parsed.ok && parsed.what).toContain(part);
  });
});

test('what each fault makes of a link', () => {
  const ohm = (mode: Parameters<typeof faultLinkOhm>[1]['mode'], level: 'normal' | 'dry' = 'normal') =>
    faultLinkOhm(line, { link: 'line', mode }, level);
  expect(ohm('open')).toBe(openOhm);
  expect(ohm('high')).toBeCloseTo(100.05, 9);
  expect(ohm('film', 'dry')).toBeCloseTo(filmDryOhm + 0.05, 9);
  expect(ohm('film')).toBeCloseTo(filmBrokenOhm + 0.05, 9);
  expect(ohm('weak')).toBeCloseTo(3.05, 9);
  expect(ohm('intermittent')).toBe(0.05);
  expect(faultLinkOhm(line, { link: 'line', mode: 'film', ohm: 5 }, 'normal')).toBeCloseTo(5.05, 9);
  expect(faultLinkOhm(line, { link: 'line', mode: 'high' }, 'normal', openOhm)).toBe(openOhm);
});

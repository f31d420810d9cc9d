import { describe, expect, test } from 'vitest';
import { predictChecks } from '../../../src/checks/guides.ts';
import { checkKinds } from '../../../src/checks/registry.ts';
import { guideErrors } from '../../../src/guide/problems/problems.ts';
import { standardCautions } from '../../../src/guide/short/standard-cautions.ts';
import { doubtsOf } from '../../../src/learn/doubts.ts';
import { fitLinks } from '../../../src/learn/fit-links.ts';
import { learnedGuide } from '../../../src/learn/learned-guide.ts';
import { readTable } from '../../../src/learn/table.ts';
import { plannedSitting, readingsOn, recorderTableText, tableOf } from '../../support/emulated-sitting.ts';
import { exampleGuide, exampleText } from '../../support/example-guide.ts';

const device = exampleGuide('field-recorder');
const table = tableOf(recorderTableText);
const sitting = plannedSitting(table);
const doubtsWith = (options: Parameters<typeof readingsOn>[2]) => {
  const { read } = readingsOn(device, sitting, options);
  return doubtsOf(table.guide, read, fitLinks(table.guide, read));
};

function learned(seed: number) {
  const { read, linkOhm } = readingsOn(device, sitting, { seed });
  const fit = fitLinks(table.guide, read)!;
  const made = learnedGuide(table, {
    fit,
    touches: sitting.touches,
    volts: new Map(),
    record: { name: 'sitting.owjob', identity: 'abc' },
  });
  if (!made.ok) throw new Error(JSON.stringify(made.problems));
  return { ...made.learned, fit, linkOhm };
}

describe('the guide of a good unit', () => {
  const { guide, text, chosen, fit, linkOhm } = learned(3);

  test('is sound, and has the standard cautions', () => {
    expect(guideErrors(guide, checkKinds)).toEqual([]);
    const ids = guide.cautions.map(({ id }) => id);
    expect(ids).toEqual(expect.arrayContaining(standardCautions.map(({ id }) => id)));
  });

  test('has 40 checks at most, and names the record that its values come from', () => {
    expect(chosen.checks.length).toBeLessThanOrEqual(40);
    expect(text).toContain('sitting.owjob');
    expect(text).toContain('PROVISIONAL');
  });

  test('predicts a healthy device inside its limits', () => {
    for (const { insideLimits } of predictChecks(guide)) expect(insideLimits).not.toBe(false);
  });

  test('has the values of this unit within four of their standard deviations', () => {
    // the same link under both names
    const same = { 'trace-a-main-board': 'trace-rec', 'trace-d-main-board': 'trace-det', 'switch-record': 'dome' };
    for (const [own, theirs] of Object.entries(same)) {
      const { ohm, sd } = fit.links.find(({ id }) => id === own)!;
      expect(Math.abs(Math.log(ohm / linkOhm[theirs]!))).toBeLessThan(4 * sd);
    }
  });

  test('says of each value how many touches it rests on', () => {
    for (const { id, isSeen } of fit.links) {
      const line = text.split('\n').find((one) => one.includes(`id: ${id},`) && one.includes('ohm:')) ?? '';
      if (isSeen) expect(line).toMatch(/# 1 unit, \d+ touch/);
    }
  });

  test('does not hold a fault against a device that no check of it shows', () => {
    for (const [link, modes] of chosen.unseen) {
      const { weights } = guide.links.find(({ id }) => id === link)!;
      for (const mode of modes) expect(weights[mode]).toBe(0);
    }
  });
});

describe('a unit that was not good is named', () => {
  const named = (fault: string): string[] => {
    const [link, mode] = fault.split('=') as [string, 'open'];
    return doubtsWith({ seed: 4, faults: [{ link, mode }] }).flatMap(({ code, about }) => [code, ...about]);
  };

  test('a good one is not', () => {
    for (const seed of [1, 2, 3, 4, 5]) expect(doubtsWith({ seed })).toEqual([]);
  });

  test.each([
    ['plug-a=weak', 'learn.high', 'connector-a-jack-board-main-board'],
    ['contact-a=film', 'learn.high', 'spring-a-key-unit-jack-board'],
    ['plug-switch=open', 'learn.opens', 'switch-plug'],
    ['pullup-rec=open', 'learn.opens', 'pullup-M1'],
    ['trace-det=open', 'learn.opens', 'trace-d-main-board'],
  ])('%s: %s', (fault, code, link) => {
    expect(named(fault)).toEqual(expect.arrayContaining([code, link]));
  });

  test('a short between two lines that the table has apart', () => {
    const doubts = doubtsWith({ seed: 4, faults: [{ link: 'dome', mode: 'stuck' }] });
    expect(doubts.map(({ code }) => code)).toContain('learn.joins');
  });

  test('what was held and did not hold', () => {
    const { read } = readingsOn(device, sitting, { seed: 4 });
    const failed = read.map((one) => (one.touch.what === 'film' ? { ...one, hasFailed: true } : one));
    expect(doubtsOf(table.guide, failed, fitLinks(table.guide, failed)).map(({ code }) => code)).toEqual([
      'learn.film',
    ]);
  });
});

test('a touch on a wrong pad that matters is noticed, and it is named where others speak of the same links', () => {
  const touch = [...sitting.touches.keys()].find((id) => id.startsWith('value-S1-M1'))!;
  const doubts = doubtsWith({ seed: 6, wrong: { touch, pad: 'M6' } });
  expect(doubts).toMatchObject([{ code: 'learn.touch', about: [touch] }]);
});

test('a pad in the cell of another line is noticed', () => {
  const slip = recorderTableText
    .replace('main-board: /M6 M1 }', 'main-board: /M6 M5 }')
    .replace('main-board: /M7 M5 }', 'main-board: /M7 M1 }');
  const wrong = tableOf(slip);
  const other = plannedSitting(wrong);
  const { read } = readingsOn(device, other, { seed: 2 });
  expect(doubtsOf(wrong.guide, read, fitLinks(wrong.guide, read)).length).toBeGreaterThan(0);
});

describe('what is no table is refused', () => {
  test('a guide that names its nodes', () => {
    const long = exampleText('field-recorder').replace(/^lines:/m, 'nodes:');
    expect(readTable(long, 'long.yaml')).toEqual({ ok: false, problems: null });
  });

  test('a table with an error, told with its place', () => {
    const read = readTable(recorderTableText.replace('K1, K2]', 'K1, M6]'), 'table.yaml');
    expect(read.ok ? [] : read.problems).toMatchObject([{ code: 'short.key-apart' }]);
  });

  test('no YAML', () => {
    expect(readTable('{', 'table.yaml').ok).toBe(false);
  });
});

test('one touch far off is a doubt, though all of them together fit', () => {
  const { read } = readingsOn(device, sitting, { seed: 3 });
  const fit = fitLinks(table.guide, read)!;
  expect(doubtsOf(table.guide, read, fit)).toEqual([]);
  const [first] = fit.residuals.keys();
  const oneOff = { ...fit, chiSquare: 25, dof: 20, residuals: new Map([...fit.residuals, [first!, 5] as const]) };
  expect(doubtsOf(table.guide, read, oneOff).map(({ code }) => code)).toEqual(['learn.touch']);
});

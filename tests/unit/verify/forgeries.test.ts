// What a forger who makes the chain anew may change in a record, and where it is found: each thing that the guide, the
// calibration or the program settles is worked out again.
import { describe, expect, test } from 'vitest';
import { calibrationFromBlock } from '../../../src/measure/reading/calibration-from-block.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { CalibrationBlock } from '../../../src/protocol/calibration-block.ts';
import { sha256 } from '../../../src/record/chain/sha256.ts';
import type { CalibrationContent } from '../../../src/record/store/calibration-file.ts';
import { calibrationOf } from '../../../src/session/engine/calibration-in-force.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { forgery, keptRecord, type RawEntry, rawEntries } from './forged.ts';

const kept = {
  fault: keptRecord('format-1-fault'),
  repaired: keptRecord('format-1-repaired'),
  first: keptRecord('format-1-first'),
  signed: keptRecord('format-1-signed'),
};

type Path = readonly (string | number)[];

/** Puts a value at a path inside an entry. */
function put(entry: RawEntry, path: Path, value: unknown): void {
  const last = path.at(-1)!;
  const owner = path
    .slice(0, -1)
    .reduce<Record<string | number, unknown>>((inside, key) => inside[key] as never, entry);
  owner[last] = value;
}

function get<T>(entry: RawEntry, ...path: Path): T {
  return path.reduce<unknown>((inside, key) => (inside as Record<string | number, unknown>)[key], entry) as T;
}

const codesOf = (bytes: Buffer) => verifyWhole(bytes).departures.map(({ code }) => code);
/** Changes every entry of a kind. */
const each = (record: Buffer, kind: string, change: (entry: RawEntry) => void) =>
  forgery(record, (entries) => {
    for (const entry of entries) if (entry.kind === kind) change(entry);
    return entries;
  });
/** Puts a value at a path inside every entry of a kind. */
const withPut = (record: Buffer, kind: string, path: Path, value: unknown) =>
  each(record, kind, (entry) => put(entry, path, value));

describe('a kept record', () => {
  test.each(Object.entries(kept))('%s stays good when its chain is made anew without a change', (_name, record) => {
    expect(verifyWhole(forgery(record, () => undefined)).departures).toEqual([]);
  });
});

describe('what a forger changes in the opening', () => {
  test.each<[string, Path, unknown, string]>([
    ['a check renamed', ['guide', 'checks', 0, 'title'], 'Another', 'opened.checks'],
    ['a check of another kind', ['guide', 'checks', 0, 'kind'], 'presses', 'opened.checks'],
    ['a device that the guide is not for', ['device', 'name'], 'Another', 'opened.device'],
    ['a revision that the guide does not list', ['device', 'revision'], 'Z9', 'opened.revision'],
    ['a revision that nobody stands for', ['revision'], { holds: false }, 'opened.revision'],
    ["the guide's own name", ['guide', 'title'], 'Another', 'opened.guide'],
  ])('%s', (_what, path, value, code) => {
    expect(codesOf(withPut(kept.fault, 'opened', path, value))).toContain(code);
  });

  test('a failing check removed from the list', () => {
    const shorter = each(kept.fault, 'opened', (opened) =>
      put(opened, ['guide', 'checks'], get<unknown[]>(opened, 'guide', 'checks').slice(0, 3)),
    );
    expect(codesOf(shorter)).toContain('opened.checks');
  });

  test('the guide replaced by one letter, with its digest', () => {
    const bytes = each(kept.fault, 'opened', (opened) => {
      put(opened, ['guide', 'text'], 'x');
      put(opened, ['guide', 'sha256'], sha256('x'));
    });
    expect(codesOf(bytes)).toEqual(['guide.unreadable']);
  });

  test('the version of the program: a departure stays one', () => {
    const bytes = forgery(withPut(kept.signed, 'levels', ['factor'], 1e9), (entries) => {
      for (const entry of entries) if (entry.kind === 'opened') entry.tool = 'ohmwright 9.9.9';
      return entries;
    });
    expect(codesOf(bytes)).toContain('guide.asked');
  });
});

describe('what a forger changes in an attempt', () => {
  test.each<[string, Buffer, string, Path, unknown, string]>([
    ['presses asked for', kept.first, 'presses', ['count'], 1, 'guide.asked'],
    ['presses that may be bad', kept.first, 'presses', ['maxBad'], 10, 'guide.asked'],
    ['the longest bounce', kept.first, 'presses', ['maxBounceUs'], null, 'guide.asked'],
    ['the length of a hold', kept.signed, 'steady', ['holdMs'], 1, 'guide.asked'],
    ['drop-outs that pass', kept.signed, 'steady', ['maxDropOuts'], 99, 'guide.asked'],
    ['the factor of a film', kept.signed, 'levels', ['factor'], 1e9, 'guide.asked'],
    ['the collapse of a closure', kept.signed, 'bridge', ['collapse'], 0.999, 'guide.asked'],
    ['the answer that passes', kept.first, 'observation', ['passAnswer'], 'no', 'guide.asked'],
    ['the question', kept.first, 'observation', ['question'], 'Is it there?', 'guide.asked'],
    ['the limits', kept.first, 'capture', ['limits', 'max'], 1e9, 'evidence.limits'],
    ['the rule', kept.first, 'capture', ['rule'], { name: 'simple' }, 'evidence.limits'],
    ['the state of the device', kept.first, 'capture', ['power'], 'off', 'guide.asked'],
    ['the check', kept.first, 'observation', ['check'], 'unheard-of', 'guide.check'],
    ['the kind of check', kept.first, 'observation', ['check'], 'key-closed', 'guide.check'],
    ['the bounds of a proof', kept.first, 'proof', ['expected'], { min: -1e12, max: 1e12 }, 'proof.bounds'],
    ['the rule of a proof', kept.first, 'proof', ['rule'], { name: 'simple' }, 'proof.bounds'],
    ['the text of a caution', kept.first, 'caution', ['text'], 'Nothing to fear.', 'guide.caution'],
    ['a caution', kept.first, 'caution', ['id'], 'unheard-of', 'guide.caution'],
    ['the repair that was done', kept.repaired, 'repair', ['repair'], 'unheard-of', 'guide.repair'],
  ])('%s', (_what, record, kind, path, value, code) => {
    expect(codesOf(withPut(record, kind, path, value))).toContain(code);
  });

  test('impossible codes, which would pass on an open range', () => {
    const bytes = each(kept.first, 'capture', (entry) =>
      put(entry, ['capture', 'window', 'codes'], Array(27).fill(65_535)),
    );
    expect(codesOf(bytes)).toContain('evidence.code');
  });

  test('codes of one check copied into another, under another time', () => {
    const bytes = forgery(kept.first, (entries) => {
      const [from, to] = entries.filter(({ check }) => check === 'spring-a' || check === 'spring-b');
      put(to!, ['capture'], structuredClone(get(from!, 'capture')));
      put(to!, ['reading'], structuredClone(get(from!, 'reading')));
      put(to!, ['capture', 'window', 'tUs'], 123_456_789);
      return entries;
    });
    expect(codesOf(bytes)).toContain('evidence.copied');
  });
});

describe('what a forger changes in a calibration', () => {
  test.each<[string, Record<string, unknown>]>([
    ['a nominal one that is called one of a file', { source: 'file' }],
    ['a nominal one with narrower uncertainty', { uLeadOhm: 1e-9 }],
    ['a nominal one under another name', { source: 'probe', id: 'probe 7', probeSerial: 7 }],
  ])('%s', (_what, change) => {
    const bytes = each(kept.first, 'probe', (entry) => Object.assign(get<object>(entry, 'calibration'), change));
    expect(codesOf(bytes).some((code) => code.startsWith('calibration.'))).toBe(true);
  });
});

describe('what a forger changes in a record of the rules and the format of today', () => {
  const today = keptRecord('rules-2-repaired');

  test('it stays good when nothing is changed', () => {
    expect(codesOf(forgery(today, () => undefined))).toEqual([]);
  });

  test('a job on the emulated probe that is no longer marked, or has a port of a real one', () => {
    const unmarked = each(today, 'opened', (entry) => delete entry.emulated);
    expect(codesOf(unmarked)).toContain('emulated.mark');
    expect(codesOf(withPut(today, 'probe', ['path'], '/dev/ttyUSB0'))).toContain('emulated.mark');
    const numbered = {
      key: `${'A'.repeat(43)}=`,
      series: '0'.repeat(16),
      number: 1,
      before: null,
      begins: null,
    };
    expect(codesOf(withPut(today, 'opened', ['bench'], numbered))).toContain('emulated.bench');
  });

  test('a caution that nobody acknowledged, or only after the first reading', () => {
    const without = forgery(today, (entries) =>
      entries.map((one) =>
        one.kind === 'caution' && one.id === 'cell' ? { kind: 'note', text: 'in a hurry', at: one.at } : one,
      ),
    );
    expect(codesOf(without)).toEqual(['flow.caution']);
    const late = forgery(today, (entries) => {
      const first = entries.find(({ kind }) => kind === 'caution')!;
      return [...entries.filter((one) => one !== first).slice(0, 10), first, ...entries.slice(11)];
    });
    expect(codesOf(late)).toContain('flow.caution');
  });

  describe('its calibration', () => {
    const block = {
      probeSerial: get<number>(rawEntries(today).find(({ kind }) => kind === 'probe')!, 'identity', 'probeSerial'),
      dateUnixS: 1_900_000_000,
      validDays: 365,
      temperatureC: 23,
      setId: 'bench',
      entries: nominalCalibration.ranges.map(({ range, level, nOff, nOpen, rsOhm, cov }) => ({
        ...{ range, level, nOff: nOff + 1, nOpen, rsOhm },
        cov: [...cov] as CalibrationBlock['entries'][number]['cov'],
      })),
    };
    const { calibration, origin } = calibrationOf({ state: 'valid', block }, block.probeSerial, 0);
    const probeOnly = (change: object) =>
      forgery(today, (entries) =>
        entries.slice(0, 2).map((one) => (one.kind === 'probe' ? { ...one, calibration, origin, ...change } : one)),
      );
    const about = (bytes: Buffer, files: CalibrationContent[] = []) =>
      verifyWhole(bytes, { calibrations: files }).departures.filter(({ code }) => code.startsWith('calibration.'));

    test('from the block of the probe follows from the block beside it, and from nothing else', () => {
      expect(origin).toEqual({ of: 'block', block });
      expect(about(probeOnly({}))).toEqual([]);
      expect(about(probeOnly({ origin: undefined }))).toMatchObject([{ code: 'calibration.origin' }]);
      const narrower = { ...calibration, uLeadOhm: 1e-9 };
      expect(about(probeOnly({ calibration: narrower }))).toMatchObject([
        { code: 'calibration.origin', stands: narrower, due: calibration },
      ]);
      expect(about(probeOnly({ calibration: { ...calibration, source: 'file' } }))).toMatchObject([
        { code: 'calibration.origin' },
      ]);
    });

    test('from a file follows from the file of that digest, when it is at hand', () => {
      const content: CalibrationContent = {
        format: 1,
        calibration: { ...calibrationFromBlock(block), source: 'file' },
        temperatureC: 23,
        evidence: null,
        tool: 'test',
      };
      const held = calibrationOf({ state: 'blank' }, block.probeSerial, 0, { state: 'held', path: 'a', content });
      const bytes = (change: object) =>
        probeOnly({ calibration: { ...held.calibration, ...change }, origin: held.origin });
      expect(about(bytes({}), [content])).toEqual([]);
      expect(about(bytes({ uLeadOhm: 1e-9 }))).toEqual([]);
      expect(about(bytes({ uLeadOhm: 1e-9 }), [content])).toMatchObject([{ code: 'calibration.origin' }]);
    });

    test('from a block that measured nothing is the nominal one, and is accused of nothing', () => {
      const empty = { ...block, entries: [] };
      const found = calibrationOf({ state: 'valid', block: empty }, block.probeSerial, 0);
      expect(found).toMatchObject({ calibration: nominalCalibration, origin: null });
      expect(about(probeOnly({ calibration: found.calibration, origin: undefined }))).toEqual([]);
    });
  });
});

describe('what a forger changes in a conclusion', () => {
  test.each<[string, Path, unknown]>([
    ['its kind', ['conclusion'], 'open'],
    ['the name of what it accuses', ['decisions', 0, 'name'], 'another unit'],
    ['what it leaves out', ['notTested'], []],
    ['what it rests on', ['evidence'], [1]],
    ['the price of a repair', ['plan', 'expectedPrice'], 1],
    ['the repairs to do', ['plan', 'steps'], []],
    ['a decision more', ['decisions', 1], { id: 'x', name: 'x', p: 0 }],
  ])('%s', (_what, path, value) => {
    expect(codesOf(withPut(kept.fault, 'concluded', path, value))).toContain('derive.conclusion');
  });
});

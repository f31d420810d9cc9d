import { describe, expect, test } from 'vitest';
import { guideProblems, predictChecks } from '../../../src/checks/guides.ts';
import { openOhm } from '../../../src/guide/circuit/faults.ts';
import { canFail, faultModes, faultWeight, linkKindNames, linkKinds } from '../../../src/guide/circuit/link-kinds.ts';
import type { Check, Fault, Guide, Link } from '../../../src/guide/types.ts';
import { exampleGuide, guideOf, placeOf, problemsOf, smallWith } from '../../support/example-guide.ts';

const recorder = exampleGuide('field-recorder');
const grip = exampleGuide('two-stage-key');
const checkOf = (guide: Guide, id: string): Check => guide.checks.find((check) => check.id === id)!;
const predicted = (guide: Guide, id: string, ...faults: Fault[]) =>
  predictChecks(guide, { faults }).find(({ check }) => check === id)!;

/** The small guide with one more check, before its repairs. */
const withCheck = (lines: string): string => smallWith('repairs:\n', `${lines}\nrepairs:\n`);
const bridge = `  - id: press
    kind: bridge
    title: Press imitated
    pads: [P1, P2]
    idle: 2.8..3.2 V
    input: in
    question: Does it light?
    prompt: Touch both.`;
const dryNormal = `  - id: film
    kind: dry-normal
    title: The key, twice
    pads: [P1, P2]
    pressed: [k]
    limits: max 2 ohm
    prompt: Hold the key.`;
const steady = `  - id: still
    kind: steady
    title: The key, flexed
    pads: [P1, P2]
    pressed: [k]
    limits: max 2 ohm
    prompt: Hold the key.`;
const codes = (text: string) => guideProblems(guideOf(text)).map((problem) => problem.code);

describe('a bridge', () => {
  test('has defaults, and is on', () => {
    expect(checkOf(guideOf(withCheck(bridge)), 'press')).toMatchObject({
      power: 'on',
      pressed: [],
      idle: { quantity: 'voltage', min: 2.8, max: 3.2 },
      durationMs: 300,
      collapse: 0.3,
      answer: 'person',
      withinMs: 1000,
    });
    const told = withCheck(`${bridge}\n    closure: 600 ms\n    collapse: 10 %\n    answer: light\n    within: 0.8 s`);
    expect(checkOf(guideOf(told), 'press')).toMatchObject({
      durationMs: 600,
      collapse: 0.1,
      answer: 'light',
      withinMs: 800,
    });
  });

  test('on a healthy device: the voltage collapses to what the closure drops, and the input responds', () => {
    const { predicted: seen, insideLimits } = predicted(recorder, 'bridge-springs');
    // 1.8 V behind 47 kohm and 100 ohm, over the probe's 9.9 Mohm, and over a closure of 1 ohm; by hand
    expect(seen.idleVolt! / (1.8 * (9.877e6 / (9.877e6 + 47_100)))).toBeCloseTo(1, 2);
    expect(seen.closedVolt! / ((1.8 / 47_100) * 1)).toBeCloseTo(1, 1);
    expect(seen).toMatchObject({ proven: true, responds: true });
    expect(insideLimits).toBe(true);
  });

  test('a pad that hangs on nothing reads 0 V, as the probe holds open tips there', () => {
    const open: Fault = { link: 'foot-b', mode: 'open' };
    expect(Math.abs(predicted(recorder, 'idle', open).predicted.volt!)).toBeLessThan(0.02);
    expect(predicted(recorder, 'bridge-springs', open).predicted).toMatchObject({ proven: false, responds: false });
  });

  test.each([
    ['the line is open inward', { link: 'trace-a', mode: 'open' }, { proven: false }],
    ['the key unit is dead, which is out of the way', { link: 'dome', mode: 'open' }, { proven: true, responds: true }],
    ['the series resistor is open', { link: 'series-rec', mode: 'open' }, { proven: false }],
    ['the series resistor is high', { link: 'series-rec', mode: 'high', ohm: 1e6 }, { responds: false }],
    [
      'the line is shorted to ground',
      { link: 'trace-a', mode: 'short', node: 'J2' },
      { proven: false, responds: false },
    ],
  ] as [string, Fault, object][])('%s', (_name, fault, seen) => {
    const prediction = predicted(recorder, 'bridge-springs', fault);
    expect(prediction.predicted).toMatchObject(seen);
    expect(prediction.insideLimits).toBe(
      !('proven' in seen && seen.proven === false) && !('responds' in seen && seen.responds === false),
    );
  });

  test('a fault beyond the closure answers at one pair of pads and not at the other', () => {
    const fault: Fault = { link: 'plug-a', mode: 'open' };
    expect(predicted(recorder, 'bridge-springs', fault).insideLimits).toBe(false);
    expect(predicted(recorder, 'bridge-main', fault).insideLimits).toBe(true);
  });

  test('an input that is active before is not answered by the closure', () => {
    const { predicted: seen } = predicted(recorder, 'bridge-main', { link: 'dome', mode: 'stuck' });
    expect(seen.responds).toBe(false);
  });

  test.each([
    ['a healthy idle voltage outside its limits', 'idle: 2.8..3.2 V', 'idle: 1..2 V', 'healthy.outside', '1..2 V'],
    ['an idle voltage that may be none', 'idle: 2.8..3.2 V', 'idle: max 3.2 V', 'bridge.idle-zero', 'max 3.2 V'],
    ['a supply', 'pads: [P1, P2]\n    idle', 'pads: [P4, P2]\n    idle', 'bridge.current', '[P4, P2]'],
    [
      'a voltage that the probe cannot measure',
      'idle: 2.8..3.2 V',
      'idle: 2.8..25 V',
      'limits.beyond-probe',
      '2.8..25 V',
    ],
  ])('guide check finds %s', (_name, from, to, code, at) => {
    const text = withCheck(bridge)
      .replace(from, to)
      .replace('node: B, where: middle }', 'node: B, where: middle }\n  - { id: P4, node: VCC, where: top }');
    const found = guideProblems(guideOf(text)).filter((problem) => problem.code === code);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({
      severity: 'error',
      ...placeOf(text, at),
    });
  });

  test('guide check finds a closure that nothing answers, and one that is answered before', () => {
    expect(codes(withCheck(bridge).replace('below: 0.9 V', 'below: 0.0001 V'))).toContain('bridge.no-response');
    expect(codes(withCheck(bridge).replace('below: 0.9 V', 'below: 3.5 V'))).toContain('bridge.responds-before');
    // 3 V behind 62 ohm, over a closure of 1 ohm: 1.6 % is left
    const stiff = withCheck(bridge).replace('ohm: 10 kohm', 'ohm: 61 ohm');
    expect(codes(stiff)).toEqual([]);
    expect(codes(stiff.replace('idle: 2.8..3.2 V', 'idle: 2.8..3.2 V\n    collapse: 1 %'))).toEqual([
      'bridge.unproven',
    ]);
  });
});

describe('dry and normal', () => {
  test('a film is beyond the factor, and fails even where the normal level passes', () => {
    const film: Fault = { link: 'contact-a', mode: 'film', ohm: 0.9 };
    const { predicted: seen, insideLimits } = predicted(recorder, 'whole', film);
    expect(seen.ohm).toBeLessThan(4);
    expect(seen.dryOhm! / seen.ohm!).toBeCloseTo(1, 6);
    expect(insideLimits).toBe(true);
    const thick = predicted(grip, 'half-film', { link: 'blade-half', mode: 'film' });
    expect(thick.predicted.dryOhm! / thick.predicted.ohm!).toBeGreaterThan(100);
    expect(thick.insideLimits).toBe(false);
    const loose = { ...checkOf(grip, 'half-film'), limits: { quantity: 'resistance', max: 1000 } } as Check;
    const lenient = { ...grip, checks: [loose] };
    expect(predicted(lenient, 'half-film', { link: 'blade-half', mode: 'film' }).insideLimits).toBe(false);
  });

  test('an open path is open at both levels', () => {
    const { predicted: seen, insideLimits } = predicted(recorder, 'whole', { link: 'dome', mode: 'open' });
    expect(seen.ohm).toBeGreaterThan(10_000);
    expect(seen.dryOhm).toBe(seen.ohm);
    expect(insideLimits).toBe(false);
    expect(predicted(grip, 'half-film', { link: 'blade-half', mode: 'open' }).predicted.ohm).toBe(openOhm);
  });

  test('is sound in the small guide, with a factor of 2', () => {
    expect(codes(withCheck(dryNormal))).toEqual([]);
    expect(checkOf(guideOf(withCheck(dryNormal)), 'film')).toMatchObject({ power: 'off', factor: 2 });
  });
});

describe('steady', () => {
  test('what comes and goes on the path fails it, though the ohms are inside', () => {
    for (const mode of ['weak', 'intermittent'] as const) {
      expect(predicted(recorder, 'flexing', { link: 'contact-a', mode })).toMatchObject({
        unsteady: true,
        insideLimits: false,
      });
    }
    expect(predicted(recorder, 'flexing', { link: 'trace-det', mode: 'intermittent' }).insideLimits).toBe(true);
  });

  test('has defaults', () => {
    expect(checkOf(guideOf(withCheck(steady)), 'still')).toMatchObject({
      power: 'off',
      level: 'normal',
      holdMs: 4000,
      maxDropOuts: 0,
      maxWander: 0.2,
    });
    expect(codes(withCheck(steady))).toEqual([]);
  });
});

describe('what may not be written', () => {
  test.each([
    ['power: off on a bridge', bridge, 'kind: bridge', 'kind: bridge\n    power: off', 'power.bridge'],
    ['power: on with ohms', dryNormal, 'kind: dry-normal', 'kind: dry-normal\n    power: on', 'power.ohms'],
    ['a closure of 3 s', bridge, 'input: in', 'input: in\n    closure: 3 s', 'quantity.large'],
    ['a closure of 5 ms', bridge, 'input: in', 'input: in\n    closure: 5 ms', 'quantity.small'],
    ['a collapse of nothing', bridge, 'input: in', 'input: in\n    collapse: 0 %', 'percent.form'],
    ['an input that is not there', bridge, 'input: in', 'input: out', 'ref.unknown'],
    ['no question', bridge, '    question: Does it light?\n', '', 'field.missing'],
    ['an answer by ear', bridge, 'input: in', 'input: in\n    answer: ear', 'field.choice'],
    ['a factor of 1', dryNormal, 'limits: max 2 ohm', 'limits: max 2 ohm\n    factor: 1', 'factor.form'],
    ['a hold of a minute', steady, 'limits: max 2 ohm', 'limits: max 2 ohm\n    hold: 60 s', 'quantity.large'],
    ['half a drop-out', steady, 'limits: max 2 ohm', 'limits: max 2 ohm\n    maxDropOuts: 0.5', 'count.form'],
  ])('%s', (_name, check, from, to, code) => {
    expect(problemsOf(withCheck(check.replace(from, to))).map((problem) => problem.code)).toEqual([code]);
  });
});

describe('weights', () => {
  const link = (fields: Partial<Link>): Link => ({ ...recorder.links[0]!, weights: {}, near: [], ...fields });

  test('each kind of link weighs exactly the ways in which it can fail', () => {
    for (const kind of linkKindNames) {
      const { modes, weights } = linkKinds[kind];
      expect(Object.keys(weights).sort()).toEqual([...modes].sort());
      for (const weight of Object.values(weights)) expect(weight).toBeGreaterThan(0);
    }
  });

  test("a link's own weight goes before its kind's; a short to nowhere weighs nothing", () => {
    expect(faultWeight(link({ kind: 'spring' }), 'film')).toBe(linkKinds.spring.weights.film);
    expect(faultWeight(link({ kind: 'spring', weights: { film: 0.5 } }), 'film')).toBe(0.5);
    expect(faultWeight(link({ kind: 'spring', weights: { film: 0 } }), 'film')).toBe(0);
    expect(faultWeight(link({ kind: 'trace', weights: { short: 9 } }), 'short')).toBe(0);
    expect(faultWeight(link({ kind: 'trace', near: ['GND'] }), 'short')).toBe(linkKinds.trace.weights.short);
    for (const mode of faultModes) {
      if (!canFail('resistor', mode)) expect(faultWeight(link({ kind: 'resistor' }), mode)).toBe(0);
    }
  });

  const line = 'kind: spring, ohm: 50 mohm, max: 100 mohm, between: [key, board]';
  test.each([
    ['a way in which it cannot fail', `${line}, weights: { stuck: 1 }`, 'fault.cannot'],
    ['a weight below 0', `${line}, weights: { film: -1 }`, 'weight.form'],
    ['a weight in words', `${line}, weights: { film: often }`, 'weight.form'],
    ['a neighbour that is not there', `${line}, near: [NOWHERE]`, 'ref.unknown'],
    ['itself as its neighbour', `${line}, near: [A]`, 'link.near'],
  ])('refused: %s', (_name, written, code) => {
    expect(problemsOf(smallWith(line, written)).map((problem) => problem.code)).toEqual([code]);
  });

  test.each([
    ['a short that weighs, to nowhere', `${line}, weights: { short: 3 }`, 'link.short-nowhere'],
    [
      'no way to fail at all',
      `${line}, weights: { open: 0, high: 0, film: 0, weak: 0, intermittent: 0 }`,
      'link.weights',
    ],
  ])('warned of: %s', (_name, written, code) => {
    expect(codes(smallWith(line, written))).toEqual([code]);
  });
});

describe('what isolation is told by a guide', () => {
  test('defaults', () => {
    expect(guideOf(smallWith('guide: 1', 'guide: 1'))).toMatchObject({
      confidence: 0.95,
      eyes: { miss: 0.02, falseAlarm: 0.02 },
      usual: null,
      wrongPad: 0.01,
      healthy: 0.05,
    });
  });

  test('as written', () => {
    const text = smallWith(
      'guide: 1',
      'guide: 1\nconfidence: 99 %\neyes: { miss: 10 % }\nusual: all\nconfirmAbove: 40\nwrongPad: 0.5 %\nhealthy: 20 %',
    );
    expect(guideOf(text)).toMatchObject({
      confidence: 0.99,
      eyes: { miss: 0.1, falseAlarm: 0.02 },
      usual: 'all',
      confirmAbove: 40,
      wrongPad: 0.005,
      healthy: 0.2,
    });
  });

  test.each([
    ['confidence: 100 %', 'percent.form'],
    ['confidence: 40 %', 'percent.form'],
    ['confidence: 0.95', 'percent.form'],
    ['healthy: 0 %', 'percent.form'],
    ['wrongPad: 50 %', 'percent.form'],
    ['eyes: { miss: 60 % }', 'percent.form'],
    ['usual: nothing', 'ref.unknown'],
    ['confirmAbove: -1', 'price.form'],
    ['confirmAbove: dear', 'price.form'],
  ])('%s is refused', (line, code) => {
    expect(problemsOf(smallWith('guide: 1', `guide: 1\n${line}`)).map((problem) => problem.code)).toEqual([code]);
  });
});

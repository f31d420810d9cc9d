import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseScript } from '../../../sim/hands/script.ts';
import { guideProblems, predictChecks } from '../../../src/checks/guides.ts';
import { restingState, solveCircuit } from '../../../src/guide/circuit/circuit.ts';
import { parseFault } from '../../../src/guide/circuit/faults.ts';
import { exampleGuide, exampleNames } from '../../support/example-guide.ts';

/** Returns the checks whose prediction is outside its limits with these faults. */
function failing(name: (typeof exampleNames)[number], ...faults: string[]): string[] {
  const guide = exampleGuide(name);
  const parsed = faults.map((text) => {
    const fault = parseFault(text, guide);
    if (!fault.ok) throw new Error(fault.what);
    return fault.fault;
  });
  return predictChecks(guide, { faults: parsed })
    .filter((one) => one.insideLimits === false)
    .map((one) => one.check);
}

describe.each(exampleNames)('%s', (name) => {
  const guide = exampleGuide(name);

  test('tells an editor where its schema is', () => {
    const path = `examples/${name}.yaml`;
    const [first = ''] = readFileSync(path, 'utf8').split('\n');
    const schema = /^# yaml-language-server: \$schema=(\S+)$/.exec(first)?.[1] ?? '';
    expect(existsSync(join(dirname(path), schema))).toBe(true);
    expect(schema).toMatch(/guide\.schema\.json$/);
  });

  test('has no problems, and passes when healthy', () => {
    expect(guideProblems(guide)).toEqual([]);
    expect(failing(name)).toEqual([]);
  });

  test('stays inside its limits over two standard deviations of every link', () => {
    for (const sign of [-2, 2]) {
      const linkOhm = Object.fromEntries(guide.links.map((link) => [link.id, link.ohm * (1 + link.spread) ** sign]));
      const outside = predictChecks(guide, { linkOhm }).filter((one) => one.insideLimits === false);
      expect(outside).toEqual([]);
    }
  });

  test('notices every link that opens, but for those with another beside them', () => {
    const unnoticed = guide.links
      .filter((link) => failing(name, `${link.id}=open`).length === 0)
      .map((link) => link.id);
    expect(unnoticed).toEqual(name === 'field-recorder' ? ['plug-g1', 'plug-g2'] : []);
  });

  test('refuses a revision, and says why', () => {
    expect(guide.revisions.not.length).toBeGreaterThan(0);
    for (const { reason } of guide.revisions.not) expect(reason.length).toBeGreaterThan(30);
  });
});

describe('faults show where a technician would expect them', () => {
  test.each([
    ['film on a contact', ['contact-a=film'], ['look-pads', 'whole', 'flexing']],
    ['a weak spring', ['contact-b=weak'], ['look-springs', 'whole', 'flexing']],
    ['a dead dome', ['dome=open'], ['key-closed', 'key-presses', 'whole', 'flexing']],
    ['a dome that stays down', ['dome=stuck'], ['key-released', 'key-presses', 'bridge-main']],
    [
      'a cracked trace on the jack board',
      ['trace-a=open'],
      ['spring-a', 'springs-apart', 'whole', 'flexing', 'idle', 'bridge-springs'],
    ],
    ['a bad contact in the board connector', ['plug-a=high:47ohm'], ['crossing', 'connector-key', 'whole', 'flexing']],
    [
      'the key line touching its neighbour',
      ['trace-a=short:J3'],
      ['springs-apart', 'neighbours', 'line-ground', 'idle', 'bridge-springs', 'bridge-main'],
    ],
    ['a dead regulator', ['regulator=open'], ['supply', 'idle', 'bridge-springs', 'bridge-main', 'plug-present']],
  ])('field recorder: %s', (_name, faults, checks) => {
    expect(failing('field-recorder', ...faults)).toEqual(checks);
  });

  test.each([
    ['the full stage stays closed', ['blade-full=stuck'], ['full-rest', 'full-early', 'full-presses', 'full-idle']],
    ['the half stage stays closed', ['blade-half=stuck'], ['half-rest', 'half-presses', 'half-idle']],
    ['the two stages touch on the flex', ['flex-half=short:FULL'], ['stages-apart', 'full-early']],
    ['the pull-up of one stage is gone', ['pullup-half=open'], ['half-board', 'half-idle', 'focus']],
  ])('two-stage key: %s', (_name, faults, checks) => {
    expect(failing('two-stage-key', ...faults)).toEqual(checks);
  });

  test('keypad: an open in a row kills the keys beyond it, and no others', () => {
    expect(failing('membrane-keypad', 'r2-23=open').filter((id) => id.startsWith('key-'))).toEqual([
      'key-6',
      'key-down',
    ]);
    expect(failing('membrane-keypad', 'c1-34=open').filter((id) => id.startsWith('key-'))).toEqual(['key-sign']);
    expect(failing('membrane-keypad', 'r3-tail=open').filter((id) => id.startsWith('key-'))).toEqual([
      'key-7',
      'key-8',
      'key-9',
      'key-clear',
    ]);
  });

  test('keypad: two rows that touch, and a row that touches a column', () => {
    expect(failing('membrane-keypad', 'r1-tail=short:R2')).toContain('rows-1-2');
    expect(failing('membrane-keypad', 'r1-tail=short:R2')).not.toContain('rows-2-3');
    expect(failing('membrane-keypad', 'r2-12=short:C3.2').filter((id) => id.startsWith('rest-'))).toEqual(['rest-6']);
  });
});

test('the scripted run names pads and keys of its guide', () => {
  const guide = exampleGuide('field-recorder');
  const text = readFileSync(new URL('../../../examples/scripted-run.hands', import.meta.url), 'utf8');
  const script = parseScript(text, {
    pads: guide.pads.map((pad) => pad.id),
    keys: guide.keys.map((key) => key.id),
    repairs: guide.repairs.map((repair) => repair.id),
    units: guide.units.map((unit) => unit.id),
  });
  expect(script).toMatchObject({ ok: true });
});

test('the scripted run says what a healthy recorder reads at each touch', () => {
  const guide = exampleGuide('field-recorder');
  const text = readFileSync(new URL('../../../examples/scripted-run.hands', import.meta.url), 'utf8');
  let power: 'off' | 'on' = 'off';
  let pressed: string[] = [];
  let compared = 0;
  for (const line of text.split('\n')) {
    const [verb, a, b] = line.replace(/#.*/, '').trim().split(/\s+/);
    if (verb === 'power') power = a === 'on' ? 'on' : 'off';
    if (verb === 'hold') pressed = [a!];
    if (verb === 'lift') pressed = [];
    if (verb !== 'touch') continue;
    const [, number, unit] = /# (\S+) (ohm|kohm|V):/.exec(line)!;
    const circuit = solveCircuit(guide, { ...restingState, power, pressed });
    const read = unit === 'V' ? circuit.thevenin(a!, b!).openVolt : circuit.resistanceOhm(a!, b!);
    expect(read / (unit === 'kohm' ? 1e3 : 1) / Number(number)).toBeCloseTo(1, 2);
    compared++;
  }
  expect(compared).toBe(7);
});

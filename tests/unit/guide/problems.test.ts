import { describe, expect, test } from 'vitest';
import { guideProblems } from '../../../src/checks/guides.ts';
import { guideOf, placeOf, smallGuide, smallWith } from '../../support/example-guide.ts';

test('a sound guide has no problems', () => {
  expect(guideProblems(guideOf(smallGuide))).toEqual([]);
});

/** What is changed, the severity, the code, and the text at which the problem has to point. */
const cases: [
  name: string,
  from: string,
  to: string,
  severity: 'error' | 'warning',
  code: string,
  at: string,
  after?: string,
][] = [
  ['a dwell that no touch is watched for', 'dwell: 20 ms', 'dwell: 11 s', 'error', 'dwell.range', '11 s'],
  [
    'a maximum that the probe cannot measure',
    'limits: { min: 1 Mohm }',
    'limits: { max: 20 Mohm }',
    'error',
    'limits.beyond-probe',
    '20 Mohm',
  ],
  [
    'a minimum that the probe cannot measure',
    'limits: { min: 1 Mohm }',
    'limits: { min: 10.1 Mohm }',
    'error',
    'limits.beyond-probe',
    '10.1 Mohm',
  ],
  [
    'a voltage that the probe cannot measure',
    'limits: 3 V +- 5 %',
    'limits: max 25 V',
    'error',
    'limits.beyond-probe',
    'max 25 V',
  ],
  [
    'a healthy device outside the limits',
    'limits: { max: 2 ohm }\n    prompt: Hold',
    'limits: { max: 0.4 ohm }\n    prompt: Hold',
    'error',
    'healthy.outside',
    '{ max: 0.4 ohm }',
  ],
  [
    'a healthy voltage outside the limits',
    'limits: 3 V +- 5 %',
    'limits: 1.7..1.9 V',
    'error',
    'healthy.outside',
    '1.7..1.9 V',
  ],
  [
    'a healthy spread over a limit',
    'limits: { max: 2 ohm }\n    prompt: Hold',
    'limits: { max: 0.6 ohm }\n    prompt: Hold',
    'warning',
    'healthy.near',
    '{ max: 0.6 ohm }',
  ],
  ['pads that nothing joins', 'pressed: [k]', 'pressed: []', 'error', 'pads.apart', '[P1, P2]'],
  [
    'ohms with power on',
    'limits: { min: 1 Mohm }',
    'power: on\n    limits: { min: 1 Mohm }',
    'error',
    'power.on-for-ohms',
    'on\n    limits: { min',
  ],
  ['power on with no caution', 'when: power-on', 'when: always', 'error', 'caution.power', 'on\n    pads'],
  ['a lithium cell with no caution', 'Lithium cell inside.', 'Beware.', 'error', 'caution.lithium', 'true }'],
  [
    'an opened device with no caution',
    ', when: opened',
    ', when: power-on',
    'error',
    'caution.opened',
    'opened',
    'access: opened',
  ],
  [
    'a circuit cut in two',
    'nodes: [GND, A, B, VCC]',
    'nodes: [GND, A, B, VCC, LOST]',
    'warning',
    'circuit.cut',
    'LOST',
  ],
  ['a minimum in milliohms', 'limits: { min: 1 Mohm }', 'limits: { min: 1 mohm }', 'warning', 'limits.milli', '1 mohm'],
  ['a minimum of nothing', 'limits: { min: 1 Mohm }', 'limits: { min: 0 ohm }', 'warning', 'limits.zero-min', '0 ohm'],
  [
    'a unit with no link',
    'units:\n',
    'units:\n  - { id: spare, name: spare }\n',
    'warning',
    'unit.unused',
    '{ id: spare',
  ],
  [
    'a link that no repair mends',
    'fixes: [sw, line, pull]',
    'fixes: [sw, line]',
    'warning',
    'repair.none',
    '{ id: pull',
  ],
];

describe('what guide check finds: severity, code, line and column', () => {
  test.each(cases)('%s', (_name, from, to, severity, code, at, after) => {
    const text = smallWith(from, to);
    const found = guideProblems(guideOf(text)).filter((problem) => problem.code === code);
    expect(found, JSON.stringify(guideProblems(guideOf(text)))).toHaveLength(1);
    expect(found[0]).toMatchObject({ severity, ...placeOf(text, at, after ?? '') });
  });
});

test('a check that no fault changes, and a link that no check sees', () => {
  const problems = guideProblems(
    guideOf(smallWith('pads: [P1, P3]', 'pads: [P2, P3]').replace('limits: { max: 2 ohm }', 'limits: { min: 1 ohm }')),
  );
  expect(problems.map((problem) => problem.code)).toEqual([]);
  const blind = guideProblems(guideOf(smallWith('limits: 3 V +- 5 %', 'limits: -20..20 V')));
  expect(blind.map((problem) => problem.code).sort()).toEqual(['check.blind', 'link.unseen']);
});

test('power on without rails', () => {
  const text = smallGuide
    .replace(/rails:\n.*\n/, '')
    .replace(/pull, from.*/, 'pull, from: VCC, to: B, kind: trace, ohm: 1 ohm, unit: board }');
  expect(guideProblems(guideOf(text)).map((problem) => problem.code)).toContain('power.no-rails');
});

test('presses: a key that closes nothing, and a count that forgives all', () => {
  const presses = `  - id: many
    kind: presses
    title: Presses
    pads: [P1, P3]
    key: k
    count: 5
    maxBad: 5
    limits: max 2 ohm
    prompt: Press.
repairs:
`;
  const codes = (text: string) => guideProblems(guideOf(text)).map((problem) => problem.code);
  expect(codes(smallWith('repairs:\n', presses))).toContain('presses.all-may-be-bad');
  expect(codes(smallWith('repairs:\n', presses.replace('maxBad: 5', 'maxBad: 0')))).toContain('healthy.no-closure');
  const sound = presses.replace('maxBad: 5', 'maxBad: 0').replace('P3', 'P2');
  expect(codes(smallWith('repairs:\n', sound))).toEqual([]);
});

test('a copy of a guide has its problems without places', () => {
  const guide = structuredClone(guideOf(smallWith('fixes: [sw, line, pull]', 'fixes: [sw, line]')));
  expect(guideProblems(guide)).toMatchObject([{ code: 'repair.none', line: null, column: null, path: 'links.2' }]);
});

test('a guide of hundreds of nodes and checks is not gone through fault by fault, and says so', () => {
  const count = 400;
  const nodes = Array.from({ length: count }, (_, k) => `N${k}`);
  const links = nodes
    .slice(1)
    .map((node, k) => `  - { id: l${k}, from: N${k}, to: ${node}, kind: trace, ohm: 50 mohm, unit: board }`);
  const checks = nodes
    .slice(1)
    .map(
      (node, k) =>
        `  - { id: c${k}, kind: resistance, title: T, pads: [N${k}, ${node}], limits: max 1 ohm, prompt: P }`,
    );
  const text = `guide: 1
id: long
title: A long chain
device: { maker: Nobody, name: Long, kind: chain }
revisions: { holds: [A] }
units: [{ id: board, name: board }]
nodes: [${nodes.join(', ')}]
pads:
${nodes.map((node) => `  - { id: ${node}, node: ${node}, where: w }`).join('\n')}
links:
${links.join('\n')}
checks:
${checks.join('\n')}
`;
  expect(guideProblems(guideOf(text)).map((problem) => problem.code)).toEqual(['cover.large']);
});

import { readFileSync } from 'node:fs';
import { parseGuide } from '../../src/checks/guides.ts';
import type { Guide, GuideProblem } from '../../src/guide/types.ts';

export const exampleNames = ['field-recorder', 'two-stage-key', 'membrane-keypad'] as const;

export function exampleText(name: (typeof exampleNames)[number]): string {
  return readFileSync(new URL(`../../examples/${name}.yaml`, import.meta.url), 'utf8');
}

export function exampleGuide(name: (typeof exampleNames)[number]): Guide {
  return guideOf(exampleText(name));
}

export function guideOf(text: string): Guide {
  const parsed = parseGuide(text, 'guide.yaml');
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems, null, 1));
  return parsed.guide;
}

export function problemsOf(text: string): GuideProblem[] {
  const parsed = parseGuide(text, 'guide.yaml');
  return parsed.ok ? parsed.warnings : parsed.problems;
}

/** A small sound guide; each test breaks one line of it. */
export const smallGuide = `guide: 1
id: small
title: A small guide
device: { maker: Nobody, name: Small, kind: lamp }
revisions:
  holds: [A]
  not:
    - { revision: B, reason: other key }
cautions:
  - { id: live, title: Live, text: Lithium cell inside., when: power-on }
  - { id: open, title: Open, text: Sharp edges., when: opened }
access:
  - { id: opened, name: cover off, minutes: 3 }
units:
  - { id: key, name: key, price: 3, minutes: 4 }
  - { id: board, name: board, price: 30, minutes: 9, lithium: true }
ground: GND
nodes: [GND, A, B, VCC]
pads:
  - { id: P1, node: A, where: left }
  - { id: P2, node: GND, where: right }
  - { id: P3, node: B, where: middle }
links:
  - { id: sw, from: A, to: GND, kind: switch, ohm: 0.5 ohm, spread: 20 %, unit: key }
  - { id: line, from: A, to: B, kind: spring, ohm: 50 mohm, max: 100 mohm, between: [key, board] }
  - { id: pull, from: VCC, to: B, kind: resistor, ohm: 10 kohm, spread: 2 %, unit: board }
rails:
  - { id: vcc, node: VCC, volt: 3 V, ohm: 1 ohm }
inputs:
  - { id: in, name: lights, node: B, below: 0.9 V }
keys:
  - { id: k, name: the key, link: sw }
checks:
  - id: line
    kind: resistance
    title: The line
    access: opened
    pads: [P1, P3]
    limits: { max: 2 ohm }
    prompt: Touch both ends.
  - id: closed
    kind: resistance
    title: The key
    pads: [P1, P2]
    pressed: [k]
    limits: { max: 2 ohm }
    prompt: Hold the key.
  - id: open
    kind: resistance
    title: The key at rest
    pads: [P1, P2]
    limits: { min: 1 Mohm }
    prompt: Let go.
  - id: idle
    kind: voltage
    title: At rest
    power: on
    pads: [P1, P2]
    limits: 3 V +- 5 %
    dwell: 20 ms
    prompt: Touch both.
repairs:
  - { id: all, name: new everything, fixes: [sw, line, pull], price: 33, minutes: 13, success: 99 % }
`;

/** Returns the small guide with one text in it replaced; the text must be there. */
export function smallWith(from: string, to: string): string {
  if (!smallGuide.includes(from)) throw new Error(`the small guide has no '${from}'`);
  return smallGuide.replace(from, to);
}

/** Returns line and column (from 1) of a text's first occurrence after `after`. */
export function placeOf(text: string, what: string, after = ''): { line: number; column: number } {
  const start = text.indexOf(after);
  const offset = text.indexOf(what, start);
  const before = text.slice(0, offset).split('\n');
  return { line: before.length, column: before.at(-1)!.length + 1 };
}

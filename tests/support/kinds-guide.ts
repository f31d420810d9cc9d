import { parseGuide } from '../../src/checks/guides.ts';
import type { Guide } from '../../src/guide/types.ts';

const text = `
guide: 1
id: button-box
title: Button of a test box that does nothing
device: { maker: Nobody, name: Box, kind: test device }
revisions: { holds: [A] }
cautions:
  - { id: cell, title: Lithium cell, text: Unplug it., when: always }
  - { id: live, title: Power on, text: Tips slip., when: power-on }
units:
  - { id: key, name: key unit, price: 5, minutes: 5 }
  - { id: main, name: main board, price: 50, minutes: 30 }
ground: GND
nodes: [GND, PAD, LINE, IN, V]
pads:
  - { id: P, node: PAD, where: left pad }
  - { id: G, node: GND, where: can }
  - { id: Q, node: LINE, where: test point }
links:
  - { id: contact, from: PAD, to: LINE, kind: spring, ohm: 0.3 ohm, between: [key, main] }
  - { id: trace, from: LINE, to: IN, kind: trace, ohm: 0.2 ohm, unit: main }
  - { id: pull, from: V, to: IN, kind: resistor, ohm: 10 kohm, unit: main }
rails:
  - { id: v, node: V, volt: 1.8 V, ohm: 1 ohm }
inputs:
  - { id: start, name: start, node: IN, below: 0.6 V }
checks:
  - { id: film, kind: dry-normal, title: Contact at two levels, pads: [P, Q], limits: max 1 ohm, prompt: Touch both. }
  - { id: hold, kind: steady, title: Contact while flexed, pads: [P, Q], limits: max 1 ohm, hold: 2 s, prompt: Hold on. }
  - { id: press, kind: bridge, title: Press imitated, pads: [P, G], idle: 1.6..2 V, input: start, question: Did it start?, prompt: Touch both. }
  - { id: lamp, kind: bridge, title: Press seen by light, pads: [P, G], idle: 1.6..2 V, input: start, question: Did it stop?, answer: light, prompt: Touch both. }
repairs:
  - { id: clean, name: clean the contact, fixes: [contact], price: 1, minutes: 5, success: 90 % }
  - { id: board, name: fit a new main board, fixes: [trace, pull], price: 50, minutes: 30, success: 95 % }
`;

/** Returns a guide with one check of each kind that takes more than one step. */
export function kindsGuide(): { guide: Guide; text: string } {
  const parsed = parseGuide(text, 'kinds.yaml');
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return { guide: parsed.guide, text };
}

/**
 * Tables to fill for the commonest builds, by their name. Each is a short guide that passes
 * `guide check` as it stands; `learn` measures a known-good unit by it.
 */
export const starterTables = {
  'key-on-springs': table({
    about: 'A key unit that stands on two springs of a board.',
    body: `units: # in the order in which the signal passes; what you would order
  - { id: key-unit, name: key unit, price: 10.00, minutes: 8 }
  - { id: board, name: main board, price: 90.00, minutes: 40 }
  - { id: cell, name: lithium cell, price: 15.00, minutes: 5, lithium: true }
joints: { key-unit/board: spring, board/cell: connector } # what joins them: spring, landing, connector, joint (solder), flex
ground: g
lines: # a row for each line, a cell for each unit; pads in signal order, a dot for a point that no tip reaches
  a: { name: key line, key-unit: K1, board: S1 B1 }
  g: { name: ground, key-unit: K2, board: S2 B2 }
  io: { name: supply of the input, board: B3 }
  bat: { name: cell, board: B4/, cell: .CELL }
pads: # each with its place for the hand
  K1: "key unit: left pad"
  K2: "key unit: right pad"
  S1: "board: crown of the left spring"
  S2: "board: crown of the right spring"
  B1: "board: test point of the key line"
  B2: "board: any shield can"
  B3: "board: test point of the supply"
  B4: "board: large pad at the cell plug"
keys:
  - { id: key, name: the key, joins: [K1, K2] }
behind: # what hangs on a point: pull-up, load, supply, cell, input
  B1: { pull-up: B3 47k, input: key, does: does what the key is for }
  B3: { load: 10k, supply: 1.8 V }
  CELL: { cell: 3.8 V }
access: # states of disassembly, in order; open names the joints that are apart
  - { id: cover-off, name: "cover off, everything fitted", minutes: 3 }
  - { id: key-off, name: "cover off, key unit lifted off", minutes: 5, open: [key-unit/board] }
checks: # learn writes better ones; title, prompt and limits are made from the table
  - { id: whole, kind: dry-normal, pads: [B1, B2], pressed: [key], access: cover-off, minutes: 2 }
  - { id: held, pads: [K1, K2], pressed: [key], access: key-off, minutes: 2 }
  - { id: rest, pads: [K1, K2], access: key-off }
  - { id: key-line, pads: [S1, B1], access: key-off }
  - { id: ground-line, pads: [S2, B2], access: key-off }
  - { id: pull-up, pads: [B1, B3], access: key-off }
  - { id: load, pads: [B3, B2], access: key-off }
  - { id: supply, kind: voltage, power: on, pads: [B3, B2], access: cover-off }
  - { id: cell, kind: voltage, power: on, pads: [B4, B2], access: cover-off }`,
  }),
  plug: table({
    about: 'A small board with a key, which plugs into the main board.',
    body: `units:
  - { id: key-board, name: key board, price: 20.00, minutes: 12 }
  - { id: board, name: main board, price: 90.00, minutes: 40 }
  - { id: cell, name: lithium cell, price: 15.00, minutes: 5, lithium: true }
joints: { key-board/board: connector, board/cell: connector }
ground: g
lines: # a slash says that the pad is the connector's own foot
  a: { name: key line, key-board: K1 J1/, board: /F1 B1 }
  g: { name: ground, key-board: K2 J2/, board: /F2 B2 }
  io: { name: supply of the input, board: B3 }
  bat: { name: cell, board: B4/, cell: .CELL }
pads:
  K1: "key board: left foot of the key"
  K2: "key board: right foot of the key"
  J1: "key board: first foot of its plug"
  J2: "key board: second foot of its plug"
  F1: "main board: first foot of the socket"
  F2: "main board: second foot of the socket"
  B1: "main board: test point of the key line"
  B2: "main board: any shield can"
  B3: "main board: test point of the supply"
  B4: "main board: large pad at the cell plug"
keys:
  - { id: key, name: the key, joins: [K1, K2] }
behind:
  B1: { pull-up: B3 47k, input: key, does: does what the key is for }
  B3: { load: 10k, supply: 1.8 V }
  CELL: { cell: 3.8 V }
access:
  - { id: cover-off, name: "cover off, everything fitted", minutes: 3 }
  - { id: unplugged, name: "cover off, key board unplugged", minutes: 5, open: [key-board/board] }
checks:
  - { id: whole, kind: dry-normal, pads: [B1, B2], pressed: [key], access: cover-off, minutes: 2 }
  - { id: key-held, pads: [K1, K2], pressed: [key], access: unplugged, minutes: 2 }
  - { id: key-rest, pads: [K1, K2], access: unplugged }
  - { id: key-line, pads: [K1, J1], access: unplugged }
  - { id: ground-line, pads: [K2, J2], access: unplugged }
  - { id: contact-a, pads: [J1, F1], access: cover-off }
  - { id: contact-g, pads: [J2, F2], access: cover-off }
  - { id: trace-a, pads: [F1, B1], access: cover-off }
  - { id: trace-g, pads: [F2, B2], access: cover-off }
  - { id: pull-up, pads: [B1, B3], access: unplugged }
  - { id: load, pads: [B3, B2], access: unplugged }
  - { id: supply, kind: voltage, power: on, pads: [B3, B2], access: cover-off }
  - { id: cell, kind: voltage, power: on, pads: [B4, B2], access: cover-off }`,
  }),
  flex: table({
    about: 'A key on a flex circuit whose tail goes into a socket.',
    body: `units:
  - { id: key-flex, name: key with its flex, price: 20.00, minutes: 20 }
  - { id: board, name: main board, price: 90.00, minutes: 40 }
  - { id: cell, name: lithium cell, price: 15.00, minutes: 5, lithium: true }
joints: { key-flex/board: connector, board/cell: connector }
inside: { key-flex: flex } # what lies between two points of a cell of this unit
ground: g
lines: # .K1 and .K2 are the ends of the key, under its foil
  a: { name: key line, key-flex: .K1 T1/, board: /F1 B1 }
  g: { name: ground, key-flex: .K2 T2/, board: /F2 B2 }
  io: { name: supply of the input, board: B3 }
  bat: { name: cell, board: B4/, cell: .CELL }
pads:
  T1: "flex tail: first finger"
  T2: "flex tail: second finger"
  F1: "main board: first foot of the socket"
  F2: "main board: second foot of the socket"
  B1: "main board: test point of the key line"
  B2: "main board: any shield can"
  B3: "main board: test point of the supply"
  B4: "main board: large pad at the cell plug"
keys:
  - { id: key, name: the key, joins: [K1, K2] }
behind:
  B1: { pull-up: B3 47k, input: key, does: does what the key is for }
  B3: { load: 10k, supply: 1.8 V }
  CELL: { cell: 3.8 V }
access:
  - { id: cover-off, name: "cover off, flex in its socket", minutes: 3 }
  - { id: tail-out, name: "cover off, flex out of its socket", minutes: 5, open: [key-flex/board] }
checks:
  - { id: whole, kind: dry-normal, pads: [B1, B2], pressed: [key], access: cover-off, minutes: 2 }
  - { id: flexing, kind: steady, pads: [T1, T2], pressed: [key], access: tail-out, minutes: 3 }
  - { id: rest, pads: [T1, T2], access: tail-out }
  - { id: contact-a, pads: [T1, F1], access: cover-off }
  - { id: contact-g, pads: [T2, F2], access: cover-off }
  - { id: trace-a, pads: [F1, B1], access: cover-off }
  - { id: trace-g, pads: [F2, B2], access: cover-off }
  - { id: pull-up, pads: [B1, B3], access: tail-out }
  - { id: load, pads: [B3, B2], access: tail-out }
  - { id: supply, kind: voltage, power: on, pads: [B3, B2], access: cover-off }
  - { id: cell, kind: voltage, power: on, pads: [B4, B2], access: cover-off }`,
  }),
  keypad: table({
    about: 'A membrane keypad of two rows and two columns, its tail in a socket; add rows and columns.',
    body: `units:
  - { id: membrane, name: membrane keypad, price: 20.00, minutes: 12 }
  - { id: board, name: main board, price: 90.00, minutes: 40 }
  - { id: cell, name: lithium cell, price: 15.00, minutes: 5, lithium: true }
joints: { membrane/board: connector, board/cell: connector }
inside: { membrane: flex 5 ohm } # silver ink
ground: g
lines: # from the far key to the tail; .R1.2 is where row 1 passes under the key in column 2
  r1: { name: row 1, membrane: .R1.2 .R1.1 R1/, board: /E1 }
  r2: { name: row 2, membrane: .R2.2 .R2.1 R2/, board: /E2 }
  c1: { name: column 1, membrane: .C1.2 .C1.1 C1/, board: /F1 }
  c2: { name: column 2, membrane: .C2.2 .C2.1 C2/, board: /F2 }
  g: { name: ground, board: B2 }
  io: { name: supply of the inputs, board: B3 }
  bat: { name: cell, board: B4/, cell: .CELL }
pads:
  R1: "tail: first finger"
  R2: "tail: second finger"
  C1: "tail: third finger"
  C2: "tail: fourth finger"
  E1: "main board: first foot of the socket"
  E2: "main board: second foot of the socket"
  F1: "main board: third foot of the socket"
  F2: "main board: fourth foot of the socket"
  B2: "main board: any shield can"
  B3: "main board: test point of the supply"
  B4: "main board: large pad at the cell plug"
keys: # carbon keys have tens of ohms
  - { id: "1", joins: [R1.1, C1.1], switch: 50 ohm }
  - { id: "2", joins: [R1.2, C2.1], switch: 50 ohm }
  - { id: "3", joins: [R2.1, C1.2], switch: 50 ohm }
  - { id: "4", joins: [R2.2, C2.2], switch: 50 ohm }
behind:
  E1: { load: chip-pin 45 ohm } # the scanner holds the rows low
  E2: { load: chip-pin 45 ohm }
  F1: { pull-up: B3 22k, input: column-1, does: wakes on column 1 }
  F2: { pull-up: B3 22k, input: column-2, does: wakes on column 2 }
  B3: { load: 10k, supply: 3.3 V }
  CELL: { cell: 3.8 V }
access:
  - { id: cover-off, name: "cover off, tail in its socket", minutes: 3 }
  - { id: tail-out, name: "cover off, tail out of its socket", minutes: 4, open: [membrane/board] }
checks:
  - { id: key-1, pads: [R1, C1], pressed: ["1"], access: tail-out, minutes: 2 }
  - { id: key-2, pads: [R1, C2], pressed: ["2"], access: tail-out, minutes: 2 }
  - { id: key-3, pads: [R2, C1], pressed: ["3"], access: tail-out, minutes: 2 }
  - { id: key-4, pads: [R2, C2], pressed: ["4"], access: tail-out, minutes: 2 }
  - { id: rows, pads: [R1, R2], access: tail-out }
  - { id: columns, pads: [C1, C2], access: tail-out }
  - { id: latch-r1, pads: [R1, E1], access: cover-off }
  - { id: latch-r2, pads: [R2, E2], access: cover-off }
  - { id: latch-c1, pads: [C1, F1], access: cover-off }
  - { id: latch-c2, pads: [C2, F2], access: cover-off }
  - { id: row-1-low, pads: [E1, B2], access: tail-out }
  - { id: row-2-low, pads: [E2, B2], access: tail-out }
  - { id: pull-up-1, pads: [F1, B3], access: tail-out }
  - { id: pull-up-2, pads: [F2, B3], access: tail-out }
  - { id: load, pads: [B3, B2], access: tail-out }
  - { id: supply, kind: voltage, power: on, pads: [B3, B2], access: cover-off }
  - { id: cell, kind: voltage, power: on, pads: [B4, B2], access: cover-off }`,
  }),
} as const;

export type StarterTable = keyof typeof starterTables;
export const starterTableNames = Object.keys(starterTables) as [StarterTable, ...StarterTable[]];

/** Returns a whole short guide around the part that differs. */
function table({ about, body }: { about: string; body: string }): string {
  return `# ${about} A table to fill: change names, pads and places, then measure a known-good unit:
#   ohmwright learn THIS-FILE my-guide.yaml
# What the fields mean: examples/README.md, "The short form". Cautions about cell, live circuit, static and edges are always there.
guide: 1
id: my-device-key
title: My device, dead key
device: { maker: Name of the maker, name: Name of the device, kind: what it is }
currency: EUR
revisions: { holds: [A] }

${body}
`;
}

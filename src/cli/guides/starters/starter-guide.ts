/**
 * A commented guide to begin from: a key on two springs, a board behind it. It passes `guide check`
 * as it stands.
 */
export const starterGuide = `# A device guide to begin from. It passes \`ohmwright guide check\` as it stands: change one part, check again.
# Numbers have units: 2 ohm, 47 kohm, 1 Mohm (m is milli, M is mega), 1.8 V, 12 ms, 20 %. Minutes, prices and counts are plain.
guide: 1
id: my-device-key
title: My device, dead key
device:
  maker: Name of the maker
  name: Name of the device
  kind: what it is
currency: EUR

# Which revisions this holds for. For one that is named under \`not\`, opening a job is refused with the reason.
revisions:
  holds: [A]
  # not:
  #   - { revision: B, reason: its key reaches the main board another way }

# Shown before the work begins; \`when\` is always (default), power-on, or opened.
cautions:
  - id: cell
    title: Lithium cell
    text: Unplug the cell before any ohms are measured. Never short, bend or pierce it; stop if it is swollen.
  - id: live
    title: Measuring with power on
    text: Tips slip. Touch the named pads only.
    when: power-on
  - id: opened
    title: Static and sharp edges
    text: Wear a grounded wrist strap; shield cans cut.
    when: opened

# States of disassembly. \`parts\` are the links that are apart in it: a key lifted off its springs no longer joins them.
access:
  - { id: cover-off, name: "cover off, everything fitted", minutes: 3 }
  - { id: key-off, name: "cover off, key unit lifted off", minutes: 5, parts: [contact-a, contact-b] }
powerMinutes: 1

# What you would order.
units:
  - { id: key-unit, name: key unit, price: 10.00, minutes: 8 }
  - { id: board, name: main board, price: 90.00, minutes: 40 }
  - { id: cell, name: lithium cell, price: 15.00, minutes: 5, lithium: true }

# What can be touched, and what lies between.
ground: GND
nodes: [GND, KEY_A, KEY_B, SPR_A, SPR_B, KEY_IN, REG, VIO, CELL, VBAT]

# Nodes that a tip can reach, each with a short place for the hand.
pads:
  - { id: K1, node: KEY_A, where: "key unit: left contact" }
  - { id: K2, node: KEY_B, where: "key unit: right contact" }
  - { id: S1, node: SPR_A, where: "board: left spring" }
  - { id: S2, node: SPR_B, where: "board: right spring" }
  - { id: B1, node: KEY_IN, where: "board: test point beside the large chip" }
  - { id: B2, node: VIO, where: "board: test point of the 1.8 V supply" }
  - { id: B3, node: VBAT, where: "board: large pad at the cell plug" }
  - { id: B4, node: GND, where: "board: any shield can" }

# Every contact, trace, joint, switch and resistor between two nodes. It belongs to one \`unit\`, or is the interface \`between\` two.
# \`spread\` is one standard deviation from unit to unit; or say \`max\`, which nearly every healthy one stays below.
# \`weights\` makes one way to fail more probable than its kind usually is; \`near\` names nodes that a short may go to.
links:
  - { id: dome, from: KEY_A, to: KEY_B, kind: switch, ohm: 1 ohm, spread: 25 %, unit: key-unit }
  - { id: contact-a, from: KEY_A, to: SPR_A, kind: spring, ohm: 60 mohm, max: 120 mohm, between: [key-unit, board], weights: { film: 12 } }
  - { id: contact-b, from: KEY_B, to: SPR_B, kind: spring, ohm: 60 mohm, max: 120 mohm, between: [key-unit, board], weights: { film: 12 } }
  - { id: trace-a, from: SPR_A, to: KEY_IN, kind: trace, ohm: 150 mohm, spread: 8 %, unit: board, near: [GND] }
  - { id: trace-b, from: SPR_B, to: GND, kind: trace, ohm: 20 mohm, spread: 10 %, unit: board }
  - { id: pullup, from: VIO, to: KEY_IN, kind: resistor, ohm: 47 kohm, spread: 2 %, unit: board }
  - { id: regulator, from: REG, to: VIO, kind: chip-pin, ohm: 300 mohm, spread: 20 %, unit: board }
  - { id: cell-plug, from: CELL, to: VBAT, kind: connector, ohm: 20 mohm, spread: 20 %, between: [cell, board] }

# Voltages that are there while the device is on, and the inputs that answer below a voltage.
rails:
  - { id: io, node: REG, volt: 1.8 V, ohm: 0.2 ohm }
  - { id: cell, node: CELL, volt: 3.8 V, ohm: 120 mohm }
inputs:
  - { id: key, name: does what the key is for, node: KEY_IN, below: 0.63 V }
keys:
  - { id: key, name: the key, link: dome }

# Where to touch, in which state, and the limits. \`ohmwright guide predict FILE\` says what a healthy device reads.
checks:
  - id: look-contacts
    kind: look
    title: Contacts of the key unit
    access: key-off
    minutes: 1
    prompt: Look at both contacts under the key unit through a loupe.
    question: Are both bright, with no brown spots and no crust?
    passAnswer: yes
    sees: [contact-a=film, contact-b=film]

  - id: look-springs
    kind: look
    title: Height of the springs
    access: key-off
    minutes: 1
    prompt: Sight along the board at the two springs.
    question: Do both springs stand equally high?
    passAnswer: yes
    sees: [contact-a=weak, contact-b=weak]

  - id: key-presses
    kind: presses
    title: Key, ten presses
    access: key-off
    pads: [K1, K2]
    key: key
    count: 10
    maxBad: 0
    limits: max 5 ohm
    minutes: 2
    prompt: Keep the tips on both contacts and press the key once at each beep.

  - id: key-released
    kind: resistance
    title: Key, released
    access: key-off
    pads: [K1, K2]
    limits: min 5 Mohm
    minutes: 1
    prompt: Let the key go and touch both of its contacts.

  - id: left-spring
    kind: resistance
    title: Left spring to the test point
    access: key-off
    pads: [S1, B1]
    limits: max 0.5 ohm
    minutes: 1
    prompt: Touch the left spring and the test point beside the large chip.

  - id: right-spring
    kind: resistance
    title: Right spring to ground
    access: key-off
    pads: [S2, B4]
    limits: max 0.3 ohm
    minutes: 1
    prompt: Touch the right spring and a shield can.

  - id: whole-path
    kind: dry-normal
    title: Whole path with the key held, dry then normal
    access: cover-off
    pads: [B1, B4]
    pressed: [key]
    limits: max 4 ohm
    minutes: 2
    prompt: With everything fitted, hold the key down and touch the test point and a shield can.

  - id: supply
    kind: voltage
    title: Supply of the input
    power: on
    access: key-off
    pads: [B2, B4]
    limits: 1.8 V +- 4 %
    minutes: 1
    prompt: Plug the cell in, switch on, and touch the test point of the supply and a shield can.

  - id: cell
    kind: voltage
    title: Cell at its plug
    power: on
    access: key-off
    pads: [B3, B4]
    limits: 3.3..4.25 V
    minutes: 1
    prompt: Touch the large pad at the cell plug and a shield can.

  # The probe closes the two springs as the key would. What it proves depends on the device's answer, so ask for what can be seen.
  - id: bridge
    kind: bridge
    title: Bridge across the springs
    access: key-off
    pads: [S1, S2]
    idle: 1.65..1.95 V
    closure: 300 ms
    input: key
    question: Did the device do what the key is for?
    answer: person
    minutes: 2
    prompt: With the device on and the key unit off, touch both springs.

# What can be done about it: which faults it mends (LINK=WAY, or LINK for all of its ways), for how much, how surely.
repairs:
  - { id: clean, name: clean the contacts, fixes: [contact-a=film, contact-b=film], price: 0.40, minutes: 6, success: 85 % }
  - { id: re-form, name: bend the springs up a little, fixes: [contact-a=weak, contact-b=weak, contact-a=intermittent, contact-b=intermittent], price: 0, minutes: 5, success: 70 % }
  - { id: new-key, name: fit a new key unit, fixes: [dome, contact-a, contact-b], price: 10.00, minutes: 8, success: 95 % }
  - { id: reseat, name: unplug the cell and plug it in again, fixes: [cell-plug], price: 0, minutes: 2, success: 60 % }
  - { id: new-board, name: fit a new main board, fixes: [trace-a, trace-b, pullup, regulator], price: 90.00, minutes: 40, success: 97 % }

# What a shop does first without measuring (for comparing costs), and when isolation may stop.
usual: new-key
confidence: 95 %
`;

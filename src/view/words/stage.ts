/** What to do while the program does its part; the kinds of check have their own words beside these. */
export const stageOrders = {
  levelChanges: 'Stay on the pads: the level changes.',
  arming: 'One moment: the probe is being set.',
  recording: 'Hold still: it is being stored.',
} as const;

/** Words that outshine everything else, with the sentence under them. */
export const headlineWords = {
  left: 'LEFT',
  leftText: 'left by the person',
  opening: 'PROBE?',
  noProbe: 'NO PROBE',
  live: 'LIVE',
  paused: 'PAUSED',
  pausedText: 'Nothing is taken. p goes on.',
} as const;

/** What is asked where no check is in hand. */
export const askTitles = {
  caution: (title: string): string => `Caution: ${title}`,
  conclusion: 'What the checks come to',
  proof: (when: 'opening' | 'closing', what: string): string =>
    `Probe proof, ${when}: ${what === 'shorted-tips' ? 'tips together' : 'check resistor'}`,
} as const;

/** How a proof of the probe is done, and what it says. */
export const proofHow = {
  'shorted-tips': 'A probe that reads near nothing across its own tips is one to rely on.',
  'check-resistor': 'The probe measures a resistor of its own; keep the tips off everything.',
} as const;

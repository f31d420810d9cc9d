import type { PresentedStandard } from '../../calibrate/standards/presented-standards.ts';
import { parseGuide } from '../../checks/guides.ts';
import type { Guide } from '../../guide/types.ts';

/** Pad that all resistors of the board have in common. */
const commonPad = 'G';
const nodeOf = (index: number): string => `N${index}`;
const padOf = (index: number): string => `P${index}`;

/**
 * Resistors for the emulated tips. `padsOf`: the pads of a standard, by its id; null when it is
 * none of the board.
 */
export interface CalibrationBoard {
  guide: Guide;
  padsOf(id: string): [string, string] | null;
}

/**
 * Returns a board with the resistors of a calibration session for the emulated tips, and the pads
 * of each. Each specimen's values are drawn about the stated ones: normal with the stated
 * uncertainty, cut at two of it, so that the board is a set that its own description holds for.
 */
export function calibrationBoard(standards: readonly PresentedStandard[]): CalibrationBoard {
  const resistors = standards.flatMap(({ id, standard }) => (standard.kind === 'resistor' ? [{ id, standard }] : []));
  const guide = {
    guide: 1,
    id: 'resistor-board',
    title: 'Known resistors',
    device: { maker: 'Nobody', name: 'Resistor board', kind: 'board of known resistors' },
    revisions: { holds: ['A'] },
    units: [{ id: 'board', name: 'board' }],
    nodes: ['GND', ...resistors.map((_, index) => nodeOf(index))],
    ground: 'GND',
    pads: [
      { id: commonPad, node: 'GND', where: 'the long strip' },
      ...resistors.map(({ id }, index) => ({ id: padOf(index), node: nodeOf(index), where: id })),
    ],
    links: resistors.map(({ standard: { ohm, uOhm } }, index) => ({
      id: `r${index}`,
      from: nodeOf(index),
      to: 'GND',
      kind: 'resistor',
      ohm: `${ohm} ohm`,
      spread: `${(100 * uOhm) / ohm} %`,
      unit: 'board',
    })),
    checks: [
      {
        id: 'first',
        kind: 'resistance',
        title: 'The first of the board',
        pads: [resistors.length === 0 ? commonPad : padOf(0), commonPad],
        limits: 'max 9 Mohm',
        minutes: 1,
        prompt: 'Touch the strip and the first of the board.',
      },
    ],
  };
  // JSON is YAML
  const parsed = parseGuide(JSON.stringify(guide), 'resistor-board.yaml');
  if (!parsed.ok) throw new Error(parsed.problems.map((problem) => problem.what).join('; '));
  return {
    guide: parsed.guide,
    padsOf(id) {
      const index = resistors.findIndex((one) => one.id === id);
      return index < 0 ? null : [padOf(index), commonPad];
    },
  };
}

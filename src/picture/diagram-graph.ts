import type { Guide, Link } from '../guide/types.ts';

/** A unit as it is drawn. */
interface Board {
  id: string;
  name: string;
  points: string[];
}

/** A point of the circuit as it is drawn, with the pads on it. */
interface Point {
  id: string;
  /** Pads that a tip can touch here; most points have none or one. */
  pads: string[];
  /** Reference point of the voltages. */
  isGround: boolean;
}

/** A link as it is drawn. */
interface Line {
  id: string;
  from: string;
  to: string;
  /** It joins two units: a contact, a plug, a joint. */
  isJoint: boolean;
}

/** A guide's circuit as boards, points and lines. */
export interface DiagramGraph {
  boards: Board[];
  points: Map<string, Point>;
  lines: Line[];
}

/**
 * Returns a guide's circuit as it is drawn. Points that no link and no pad meets are left out; so
 * are units without a point.
 */
export function diagramGraph({ units, nodes, pads, links, ground }: Guide): DiagramGraph {
  const boards = new Map(units.map(({ id, name }) => [id, { id, name, points: [] as string[] }]));
  const points = new Map<string, Point>();
  for (const id of nodes) {
    const here = pads.filter((pad) => pad.node === id).map((pad) => pad.id);
    const met = links.filter(({ from, to }) => from === id || to === id);
    if (here.length === 0 && met.length === 0) continue;
    const unit = met.find((link) => link.unit !== null)?.unit ?? sideOf(met[0], id) ?? units[0]?.id;
    points.set(id, { id, pads: here, isGround: id === ground });
    if (unit !== undefined) boards.get(unit)?.points.push(id);
  }
  const lines = links.map(({ id, from, to, unit }) => ({ id, from, to, isJoint: unit === null }));
  return { boards: [...boards.values()].filter((board) => board.points.length > 0), points, lines };
}

/** Returns the unit on which an end of a joint stands. */
function sideOf(joint: Link | undefined, node: string): string | undefined {
  return joint?.between?.[joint.from === node ? 0 : 1];
}

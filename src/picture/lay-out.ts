import type { ElkNode } from 'elkjs';
import stringWidth from 'string-width';
import type { Guide } from '../guide/types.ts';
import { type DiagramGraph, diagramGraph } from './diagram-graph.ts';
import type { PicturePlace } from './shown-part.ts';

/** A drawing laid out: where boards, points and lines stand, in units of about one CSS pixel at full size. */
export interface Diagram {
  width: number;
  height: number;
  boards: (PicturePlace & { id: string; name: string; width: number; height: number })[];
  /** Centre of each point, by node. */
  points: (PicturePlace & { id: string; pads: string[]; isGround: boolean })[];
  lines: { id: string; isJoint: boolean; bends: PicturePlace[] }[];
}

/** More links than this are no drawing that a person reads. */
const mostLinks = 300;
const pointSize = 14;
/** Room that a letter takes. */
const letterWidth = 8;

/**
 * Lays a guide's circuit out: boards from left to right in the order in which the guide has them.
 * Null when it is too large to be read, or has no points.
 */
export async function layOut(guide: Guide): Promise<Diagram | null> {
  const graph = diagramGraph(guide);
  if (guide.links.length > mostLinks || graph.points.size === 0) return null;
  // more than a megabyte: loaded by the one who draws
  const { default: Elk } = await import('elkjs/lib/elk.bundled.js');
  const elk = new (Elk as unknown as typeof import('elkjs').default)();
  return diagramOf(graph, await elk.layout(elkGraph(graph)));
}

function elkGraph({ boards, points, lines }: DiagramGraph): ElkNode {
  return {
    id: 'device',
    layoutOptions: {
      'elk.algorithm': 'layered',
      'elk.direction': 'RIGHT',
      'elk.hierarchyHandling': 'INCLUDE_CHILDREN',
      'elk.edgeRouting': 'ORTHOGONAL',
      'elk.spacing.nodeNode': '26',
      'elk.layered.spacing.nodeNodeBetweenLayers': '44',
      'elk.layered.considerModelOrder.strategy': 'NODES_AND_EDGES',
      'elk.padding': '[top=12,left=12,bottom=12,right=12]',
    },
    children: boards.map((board) => ({
      id: `board ${board.id}`,
      layoutOptions: {
        'elk.padding': '[top=38,left=22,bottom=22,right=22]',
        // the name has to fit, however few points there are
        'elk.nodeSize.constraints': 'MINIMUM_SIZE',
        'elk.nodeSize.minimum': `(${stringWidth(board.name) * letterWidth + 20}, 60)`,
      },
      children: board.points.map((id) => {
        const pads = points.get(id)!.pads.join(' ').length;
        return { id, width: Math.max(pointSize, pads * letterWidth), height: pads === 0 ? pointSize : 2 * pointSize };
      }),
    })),
    edges: lines.map(({ id, from, to }) => ({ id: `line ${id}`, sources: [from], targets: [to] })),
  };
}

function diagramOf({ boards, points, lines }: DiagramGraph, laid: ElkNode): Diagram {
  const corners = new Map<string, PicturePlace>([['device', { x: 0, y: 0 }]]);
  const drawn: Diagram = { width: laid.width ?? 0, height: laid.height ?? 0, boards: [], points: [], lines: [] };
  for (const board of laid.children ?? []) {
    const corner = { x: board.x ?? 0, y: board.y ?? 0 };
    corners.set(board.id, corner);
    const { id, name } = boards.find((one) => `board ${one.id}` === board.id)!;
    drawn.boards.push({ id, name, ...corner, width: board.width ?? 0, height: board.height ?? 0 });
    for (const { id: node, x = 0, y = 0, width = 0, height = 0 } of board.children ?? []) {
      const place = { x: corner.x + x + width / 2, y: corner.y + y + height / 2 };
      drawn.points.push({ ...points.get(node)!, ...place });
    }
  }
  for (const edge of laid.edges ?? []) {
    const { id, isJoint } = lines.find((line) => `line ${line.id}` === edge.id)!;
    const [section] = edge.sections ?? [];
    // an edge counts from the corner of what holds it
    const { x, y } = corners.get((edge as { container?: string }).container ?? 'device') ?? { x: 0, y: 0 };
    const bends = section === undefined ? [] : [section.startPoint, ...(section.bendPoints ?? []), section.endPoint];
    drawn.lines.push({ id, isJoint, bends: bends.map((bend) => ({ x: x + bend.x, y: y + bend.y })) });
  }
  return drawn;
}

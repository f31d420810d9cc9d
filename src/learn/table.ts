import { parseDocument } from 'yaml';
import { parseGuide } from '../checks/guides.ts';
import { expandLines } from '../guide/short/expand-lines.ts';
import { isShort } from '../guide/short/read-short.ts';
import { type ShortGuide, shortGuideSchema } from '../guide/short/short-schema.ts';
import type { Guide, GuideProblem } from '../guide/types.ts';

/** A table of lines by units, with the circuit that it stands for. */
export interface LearnTable {
  /** The file as it was read. */
  text: string;
  short: ShortGuide;
  /** Its circuit, with no check worth the name. */
  guide: Guide;
  /** The pads of each line in signal order, with the unit that each is in. */
  lines: { line: string; pads: { pad: string; unit: string }[] }[];
}

export type ReadTable = { ok: true; table: LearnTable } | { ok: false; problems: GuideProblem[] | null };

/** Returns the text of a short guide with other checks, its comments kept. */
export function withChecks(text: string, checks: readonly object[]): string {
  const document = parseDocument(text);
  const node = document.createNode(checks, { flow: false, aliasDuplicateObjects: false });
  for (const item of (node as unknown as { items: { flow?: boolean }[] }).items) item.flow = true;
  document.set('checks', node);
  return document.toString({ lineWidth: 0, flowCollectionPadding: true });
}

/**
 * Returns the table in a text, or what keeps it from being one; `problems` is null when it is no
 * table at all, but a guide that names its nodes.
 */
export function readTable(text: string, fileName: string): ReadTable {
  const document = parseDocument(text, { logLevel: 'silent' });
  const data: unknown = document.errors.length > 0 ? null : document.toJS();
  if (data !== null && !isShort(data)) return { ok: false, problems: null };
  const shaped = shortGuideSchema.safeParse(data);
  const pads = shaped.success ? Object.keys(shaped.data.pads).slice(0, 2) : [];
  const stand = [{ id: 'stand', pads, limits: 'min -1 ohm' }];
  const parsed = parseGuide(data === null ? text : withChecks(text, stand), fileName);
  if (!parsed.ok) return { ok: false, problems: parsed.problems };
  const short = shortGuideSchema.parse(data);
  const { points } = expandLines(short);
  const lines = Object.keys(short.lines).map((line) => ({
    line,
    pads: points.filter((point) => point.isPad && point.line === line).map(({ node, unit }) => ({ pad: node, unit })),
  }));
  return { ok: true, table: { text, short, guide: parsed.guide, lines } };
}

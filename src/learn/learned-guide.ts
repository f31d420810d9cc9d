import { type Document, isMap, parseDocument, type YAMLMap, type YAMLSeq } from 'yaml';
import { parseGuide } from '../checks/guides.ts';
import { type LinkKind, linkKinds } from '../guide/circuit/link-kinds.ts';
import { voltLimitsText } from '../guide/short/usual-limits.ts';
import type { Guide, GuideProblem } from '../guide/types.ts';
import { candidateChecks } from './candidate-checks.ts';
import { type ChosenChecks, chooseChecks } from './choose-checks.ts';
import type { FittedLink, LinkFit } from './fit-links.ts';
import type { SittingTouch } from './sitting-plan.ts';
import { type LearnTable, withChecks } from './table.ts';
import { usualRepairs } from './usual-repairs.ts';

/** What a sitting came to: values, voltages, and the record that shows them. */
export interface Learned {
  fit: LinkFit;
  touches: ReadonlyMap<string, SittingTouch>;
  /** Voltages at rest, by touch id. */
  volts: ReadonlyMap<string, number>;
  /** The record of the sitting and the hash of its first line, so that where a value comes from can be verified. */
  record: { name: string; identity: string };
}

interface LearnedGuide {
  text: string;
  guide: Guide;
  chosen: ChosenChecks;
}

export type MadeGuide = { ok: true; learned: LearnedGuide } | { ok: false; problems: GuideProblem[] };

/** No link's value is told as less certain than this, nor more certain than its kind varies. */
const mostSpread = 0.6;
/** A cell's voltage goes with its charge; common practice, no source. */
const cellShare = 0.13;

/**
 * Returns the guide that a table and a sitting make: the table with the values of one unit, the
 * spread of each link's kind, the checks that part most per minute, and the usual repairs where it
 * has none. Comments say where each value comes from.
 */
export function learnedGuide(table: LearnTable, learned: Learned): MadeGuide {
  const document = parseDocument(table.text);
  setLinks(document, table.guide, learned.fit);
  if (table.short.repairs === undefined) document.set('repairs', flowList(document, usualRepairs(table.guide)));
  const { name, identity } = learned.record;

  document.commentBefore = [
    ` Learned from one known-good unit. Its sitting is the record ${name} (sha256 of its first line: ${identity}).`,
    ' PROVISIONAL: every value is of one unit, with the spread that its kind usually has (common practice, no source).',
    ` ${document.commentBefore?.trim() ?? ''}`.trimEnd(),
  ].join('\n');
  const valued = document.toString({ lineWidth: 0 });
  const candidates = candidateChecks(table, learned.touches).map((check) => withVolts(check, table, learned));
  const all = parseGuide(withChecks(valued, candidates), 'the learned guide');
  if (!all.ok) return all;
  const chosen = chooseChecks(all.guide);
  const kept = candidates.filter(({ id }) => chosen.checks.includes(id));
  const text = withoutUnseen(withChecks(valued, kept), table.guide, chosen);
  const parsed = parseGuide(text, 'the learned guide');
  return parsed.ok ? { ok: true, learned: { text, guide: parsed.guide, chosen } } : parsed;
}

function setLinks(document: Document, guide: Guide, fit: LinkFit): void {
  for (const fitted of fit.links.filter(({ isSeen }) => isSeen)) {
    const { kind } = guide.links.find(({ id }) => id === fitted.id)!;
    const item = linkItem(document, fitted.id);
    item.set('ohm', `${Number(fitted.ohm.toPrecision(3))} ohm`);
    item.set('spread', `${spreadPercent(kind, fitted)} %`);
    item.delete('max');
    item.comment = ` ${originOf(fitted)}`;
  }
}

function originOf({ sd, touches }: FittedLink): string {
  const known = `known to ${Math.max(1, Math.round(sd * 100))} %`;
  const alone = sd > 0.3 ? '; only its sum with its neighbours is known' : '';
  return `1 unit, ${touches} ${touches === 1 ? 'touch' : 'touches'}, ${known}${alone}; spread of its kind`;
}

function spreadPercent(kind: LinkKind, { sd }: FittedLink): number {
  return Math.round(Math.min(mostSpread, Math.hypot(linkKinds[kind].usual.spread, sd)) * 100);
}

/** What no check shows is no suspect here: it would stand for ever. */
function withoutUnseen(text: string, guide: Guide, { unseen }: ChosenChecks): string {
  const document = parseDocument(text);
  for (const [id, modes] of unseen) {
    const { kind } = guide.links.find((link) => link.id === id)!;
    const item = linkItem(document, id);
    const isWhole = linkKinds[kind].modes.every((mode) => mode === 'intermittent' || modes.includes(mode));
    const gone = isWhole ? linkKinds[kind].modes : modes;
    for (const mode of gone) item.setIn(['weights', mode], 0);
    (item.get('weights') as YAMLMap).flow = true;
    item.comment = `${item.comment ?? ''}${item.comment ? ';' : ''} no check shows: ${gone.join(', ')}`;
  }
  return document.toString({ lineWidth: 0 });
}

function linkItem(document: Document, id: string): YAMLMap {
  if (document.get('links') === undefined) document.set('links', document.createNode([]));
  const links = document.get('links') as YAMLSeq;
  links.flow = false;
  const known = links.items.find((item) => isMap(item) && item.get('id') === id);
  if (known !== undefined) return known as YAMLMap;
  const item = document.createNode({ id }, { flow: true }) as YAMLMap;
  links.add(item);
  return item;
}

function flowList(document: Document, items: readonly object[]): YAMLSeq {
  const list = document.createNode(items, { aliasDuplicateObjects: false }) as YAMLSeq;
  for (const item of list.items) (item as YAMLMap).flow = true;
  return list;
}

/** A voltage is judged around what this unit had; that of a cell around its nominal one. */
function withVolts<T extends { id: string; pads: [string, string]; kind?: string }>(
  check: T,
  { short }: LearnTable,
  { volts }: Learned,
): T & { limits?: string } {
  const volt = volts.get(check.id);
  if (check.kind !== 'voltage' || volt === undefined) return check;
  const cell = Object.values(short.behind).find(
    ({ cell: nominal }) => nominal !== undefined && Math.abs(nominal - volt) < 1,
  );
  const nominal = cell?.cell;
  if (nominal === undefined) return { ...check, limits: voltLimitsText(volt) };
  const [low, high] = [nominal * (1 - cellShare), nominal * (1 + cellShare)].map((one) => Number(one.toPrecision(3)));
  return { ...check, limits: `${low}..${high} V` };
}

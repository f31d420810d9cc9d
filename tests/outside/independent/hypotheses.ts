import type { LinkKind } from '../../../src/guide/circuit/link-kinds.ts';
import type { Fault, FaultMode, Guide, Level, Link } from '../../../src/guide/types.ts';
import type { Stated } from './stated-model.ts';
import { unknownShorts } from './unknown-shorts.ts';

/** Something that no fault of the guide stands for. */
type Unknown =
  | { kind: 'any' }
  | { kind: 'short'; a: string; b: string }
  | { kind: 'rail'; rail: string }
  | { kind: 'input'; input: string }
  | { kind: 'pad'; pad: string }
  | { kind: 'values'; of: LinkKind[] };

/** The two ends of what is not known of a hypothesis: ohms by level, or a factor. */
export interface Part {
  low: Record<Level, number>;
  high: Record<Level, number>;
  weight: number;
}

export interface Hypothesis {
  id: string;
  prior: number;
  fault: Fault | null;
  unknown: Unknown | null;
  parts: Part[];
}

const both = (value: number): Record<Level, number> => ({ normal: value, dry: value });
const part = (low: number, high: number, weight: number): Part => ({ low: both(low), high: both(high), weight });
const single: Part[] = [part(0, 0, 1)];

const cut = (low: number, high: number, count: number): [number, number][] =>
  Array.from({ length: count }, (_, k) => [low * (high / low) ** (k / count), low * (high / low) ** ((k + 1) / count)]);

const evenly = (spans: readonly (readonly [number, number])[], share = 1): Part[] =>
  spans.map(([low, high]) => part(low, high, share / spans.length));

/** Returns all that may be wrong with a device, with its prior; nothing wrong first. */
export function hypothesesOf(guide: Guide, stated: Stated): Hypothesis[] {
  const declared = guide.links.flatMap((link) => stated.modes.flatMap((mode) => ofMode(stated, link, mode)));
  const total = declared.reduce((sum, { prior }) => sum + prior, 0);
  const none: Hypothesis = { id: 'none', prior: 1, fault: null, unknown: null, parts: single };
  const stands = stated.number('unknown.share');
  if (total === 0 && (stands === 0 || guide.links.length === 0)) return [none];
  const share = total === 0 ? 1 : stands;
  const faulty = 1 - guide.healthy;
  return [
    { ...none, prior: guide.healthy },
    ...declared.map((one) => ({ ...one, prior: (faulty * (1 - share) * one.prior) / total })),
    ...(share === 0 ? [] : unknownOf(guide, stated, faulty * share)),
  ];
}

/** A link's own weight, else its kind's; a short's is shared out among where it may go. */
function ofMode(stated: Stated, link: Link, mode: FaultMode): Hypothesis[] {
  const usual = stated.weight(link.kind, mode);
  const canFail = stated.modes.includes(mode) && (mode !== 'welded' || link.normally === 'closed');
  const weight = usual === undefined || !canFail ? 0 : (link.weights[mode] ?? usual);
  if (!(weight > 0)) return [];
  const parts = partsOf(stated, link, mode);
  if (mode !== 'short') {
    const fault = { link: link.id, mode };
    return [{ id: `${link.id}=${mode}`, prior: weight, fault, unknown: null, parts }];
  }
  const ends = [...new Set(link.near)].filter((node) => node !== link.from);
  return ends.map((node) => ({
    id: `${link.id}=short:${node}`,
    prior: weight / ends.length,
    fault: { link: link.id, mode, node },
    unknown: null,
    parts,
  }));
}

function partsOf(stated: Stated, link: Link, mode: FaultMode): Part[] {
  const n = (name: string): number => stated.number(`suspects.${name}`);
  switch (mode) {
    case 'high': {
      const low = Math.max(n('highLeastOhm'), n('highLeastShare') * link.ohm);
      const high = Math.max(n('highMostOhm'), n('highMostFactor') * low);
      const usual = cut(low, high, n('highCells'));
      if (n('leakyCells') === 0 || high >= 1e9) return evenly(usual);
      return [...evenly(usual, 1 - n('leakyShare')), ...evenly(cut(high, 1e9, n('leakyCells')), n('leakyShare'))];
    }
    case 'weak':
      return evenly(cut(n('weakLowOhm'), n('weakHighOhm'), n('weakCells')));
    case 'short':
      return evenly(cut(n('shortLowOhm'), n('shortHighOhm'), n('shortCells')));
    case 'leaky':
      return link.kind === 'switch'
        ? evenly(cut(n('leakyLowOhm'), n('leakyHighOhm'), n('leakySpanCells')))
        : evenly(cut(n('leakyLowShare') * link.ohm, n('leakyHighShare') * link.ohm, n('leakySpanCells')));
    case 'film': {
      const [unbroken, factor] = [n('filmUnbrokenShare'), n('filmBrokenFactor')];
      return cut(n('filmLowOhm'), n('filmHighOhm'), n('filmCells')).flatMap(([low, high], _, { length }): Part[] => [
        {
          low: { normal: 20 / factor, dry: low },
          high: { normal: Math.min(high, 20 * factor), dry: high },
          weight: (1 - unbroken) / length,
        },
        part(low, high, unbroken / length),
      ]);
    }
    default:
      return single;
  }
}

function unknownOf(guide: Guide, stated: Stated, prior: number): Hypothesis[] {
  const n = (name: string): number => stated.number(`unknown.${name}`);
  const of = (share: number, all: { id: string; unknown: Unknown; parts: Part[] }[]) =>
    all.map((one) => ({ ...one, prior: share / all.length, fault: null }));
  const found = [
    ...of(n('anyPart'), [{ id: 'unknown', unknown: { kind: 'any' }, parts: single }]),
    ...of(
      n('shortPart'),
      unknownShorts(guide, stated).map(([a, b]) => ({
        id: `unknown:short:${a}-${b}`,
        unknown: { kind: 'short', a, b },
        parts: evenly(cut(n('shortLowOhm'), n('shortHighOhm'), n('shortCells'))),
      })),
    ),
    ...of(
      n('railPart'),
      guide.rails.map(({ id }) => ({
        id: `unknown:rail:${id}`,
        unknown: { kind: 'rail', rail: id },
        parts: evenly(stated.spans('unknown.railFactors')),
      })),
    ),
    ...of(
      n('inputPart'),
      guide.inputs.map(({ id }) => ({
        id: `unknown:input:${id}`,
        unknown: { kind: 'input', input: id },
        parts: single,
      })),
    ),
    ...of(n('valuesPart'), valuesOf(guide, stated)),
    ...of(n('revisionPart'), revisionsOf(guide, stated)),
    ...of(
      n('padPart'),
      guide.pads
        .filter(({ id }) => guide.checks.some((check) => 'pads' in check && check.pads?.includes(id) === true))
        .map(({ id }) => ({
          id: `unknown:pad:${id}`,
          unknown: { kind: 'pad', pad: id },
          parts: evenly(cut(n('padLowOhm'), n('padHighOhm'), n('padCells'))),
        })),
    ),
  ];
  const total = found.reduce((sum, one) => sum + one.prior, 0);
  return found.map((one) => ({ ...one, prior: (prior * one.prior) / total }));
}

function valuesOf(guide: Guide, stated: Stated): { id: string; unknown: Unknown; parts: Part[] }[] {
  const has = (kind: LinkKind): boolean => guide.links.some((link) => link.kind === kind);
  const contacts = (['spring', 'landing', 'connector', 'switch'] as const).filter(has);
  const worn: LinkKind[][] = [...contacts.map((kind) => [kind]), ...(contacts.length > 1 ? [[...contacts]] : [])];
  const offValue = (of: LinkKind[], factors: string) => ({
    id: `unknown:values:${of.join('+')}`,
    unknown: { kind: 'values', of } as const,
    parts: evenly(stated.spans(factors)),
  });
  const all = worn.map((of) => offValue(of, 'unknown.wornFactors'));
  return has('resistor') ? [...all, offValue(['resistor'], 'unknown.valueFactors')] : all;
}

function revisionsOf(guide: Guide, stated: Stated): { id: string; unknown: Unknown; parts: Part[] }[] {
  const groups: LinkKind[][] = [['trace', 'flex'], ['resistor']];
  return groups
    .filter((of) => guide.links.some(({ kind }) => of.includes(kind)))
    .map((of) => ({
      id: `unknown:revision:${of.join('+')}`,
      unknown: { kind: 'values', of } as const,
      parts: evenly(stated.spans('unknown.revisionFactors')),
    }));
}

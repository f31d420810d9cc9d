import { linkKinds } from '../circuit/link-kinds.ts';
import type { GuideFile } from '../file/file-schema.ts';
import type { Path, SourceMap } from '../file/source-map.ts';
import type { FaultMode, GuideProblem } from '../types.ts';
import { type AddProblem, type FileNames, namesIn } from './file-names.ts';
import { problemAt } from './problem.ts';

/** Returns every name in a guide file that stands for nothing, or for two things. */
export function referenceProblems(file: GuideFile, source: SourceMap): GuideProblem[] {
  const problems: GuideProblem[] = [];
  const add: AddProblem = (code, path, args = {}) => {
    problems.push(problemAt(source, 'error', code, path, args));
  };
  const names = namesIn(file, add);
  nameTwice(file, source, add);
  namesOfPads(file, names);
  namesOfLinks(file, names);
  namesOfInputs(file, names);
  namesOfChecks(file, names);
  namesOfRepairs(file, names);
  return problems;
}

const namedLists = [
  'units',
  'pictures',
  'pads',
  'links',
  'rails',
  'inputs',
  'keys',
  'checks',
  'repairs',
  'cautions',
  'access',
] as const;

/** Names that are given twice in one list. */
function nameTwice(file: GuideFile, source: SourceMap, add: AddProblem): void {
  const twice = (list: string, ids: readonly string[], pathOf: (at: number) => Path): void => {
    ids.forEach((id, at) => {
      const first = ids.indexOf(id);
      if (first < at) add('id.twice', pathOf(at), { id, list, first: String(source.place(pathOf(first)).line ?? '?') });
    });
  };
  for (const list of namedLists) {
    const ids = file[list].map((one) => one.id);
    twice(list, ids, (at) => [list, at, 'id']);
  }
  twice('nodes', file.nodes, (at) => ['nodes', at]);
}

function namesOfPads(file: GuideFile, { need, add }: FileNames): void {
  need('node', file.ground, ['ground']);
  if (file.rails.length > 0 && file.ground === undefined) add('rail.no-ground', ['rails']);
  file.pads.forEach((pad, at) => {
    need('node', pad.node, ['pads', at, 'node']);
    pad.in?.forEach((state, k) => {
      need('access', state, ['pads', at, 'in', k]);
    });
    need('picture', pad.at?.picture, ['pads', at, 'at', 'picture']);
    if (pad.id !== pad.node && file.nodes.includes(pad.id)) add('id.shadow', ['pads', at, 'id'], { id: pad.id });
  });
}

function namesOfLinks(file: GuideFile, { need, add, fault }: FileNames): void {
  file.links.forEach((link, at) => {
    const path = ['links', at] as const;
    need('node', link.from, [...path, 'from']);
    need('node', link.to, [...path, 'to']);
    need('unit', link.unit, [...path, 'unit']);
    link.between?.forEach((unit, side) => {
      need('unit', unit, [...path, 'between', side]);
    });
    if (link.from === link.to) add('ref.same', [...path, 'to'], { id: link.id });
    if ((link.unit === undefined) === (link.between === undefined)) {
      add('link.owner', path, { id: link.id, both: link.unit === undefined ? 'no' : 'yes' });
    }
    link.near.forEach((node, k) => {
      need('node', node, [...path, 'near', k]);
      if (node === link.from) add('link.near', [...path, 'near', k], { id: link.id, node });
    });
    for (const mode of Object.keys(link.weights) as FaultMode[]) fault(link.id, mode, [...path, 'weights', mode]);
    if (link.spread !== undefined && link.max !== undefined) add('link.spread', [...path, 'max'], { id: link.id });
    if (link.max !== undefined && link.max <= link.ohm) add('link.max', [...path, 'max'], { id: link.id });
    if (link.normally === 'closed' && link.kind !== 'switch') {
      add('link.normally', [...path, 'normally'], { id: link.id, kind: linkKinds[link.kind].text });
    }
  });
}

/** Of rails, inputs, keys and states of access. */
function namesOfInputs(file: GuideFile, { need, add, isKnown }: FileNames): void {
  file.rails.forEach((rail, at) => {
    need('node', rail.node, ['rails', at, 'node']);
    if (rail.node === file.ground) add('rail.on-ground', ['rails', at, 'node'], { id: rail.id });
  });
  file.inputs.forEach((input, at) => {
    need('node', input.node, ['inputs', at, 'node']);
  });
  file.keys.forEach((key, at) => {
    need('link', key.link, ['keys', at, 'link']);
    if (isKnown('link', key.link) && file.links.find((link) => link.id === key.link)?.kind !== 'switch') {
      add('key.not-switch', ['keys', at, 'link'], { id: key.id, link: key.link });
    }
    key.with.forEach((other, k) => {
      need('key', other, ['keys', at, 'with', k]);
    });
  });
  file.access.forEach((state, at) => {
    state.parts.forEach((link, k) => {
      need('link', link, ['access', at, 'parts', k]);
    });
  });
}

function namesOfChecks(file: GuideFile, { need, fault }: FileNames): void {
  file.checks.forEach((check, at) => {
    const path = ['checks', at] as const;
    check.pads?.forEach((pad, side) => {
      need('pad', pad, [...path, 'pads', side]);
    });
    need('access', check.access, [...path, 'access']);
    if ('pressed' in check)
      check.pressed.forEach((key, k) => {
        need('key', key, [...path, 'pressed', k]);
      });
    if ('input' in check) need('input', check.input, [...path, 'input']);
    if ('key' in check) need('key', check.key, [...path, 'key']);
    if ('sees' in check)
      check.sees.forEach(({ link, mode }, k) => {
        fault(link, mode, [...path, 'sees', k]);
      });
  });
}

/** Of repairs, the usual one, and revisions. */
function namesOfRepairs(file: GuideFile, { need, add, fault }: FileNames): void {
  file.repairs.forEach((repair, at) => {
    repair.fixes.forEach(({ link, mode }, k) => {
      fault(link, mode, ['repairs', at, 'fixes', k]);
    });
  });
  need('repair', file.usual, ['usual']);
  file.revisions.not.forEach(({ revision }, at) => {
    if (file.revisions.holds.includes(revision))
      add('revision.both', ['revisions', 'not', at, 'revision'], { revision });
  });
}

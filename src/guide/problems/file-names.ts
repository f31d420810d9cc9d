import { canFail, linkKinds } from '../circuit/link-kinds.ts';
import type { GuideFile } from '../file/file-schema.ts';
import { didYouMean } from '../file/near.ts';
import type { Path } from '../file/source-map.ts';
import type { FaultMode } from '../types.ts';

/** Notes a problem at a place of the file. */
export type AddProblem = (code: string, path: Path, args?: Record<string, string>) => void;

/** The names that a guide file gives, and what is asked of those that it uses. */
export interface FileNames {
  add: AddProblem;
  /** Notes an id that stands for nothing; undefined is asked for nothing. */
  need(kind: NameKind, id: string | undefined, path: Path): void;
  /** Notes a fault whose link is not there, or cannot fail so. */
  fault(link: string, mode: FaultMode | null, path: Path): void;
  isKnown(kind: NameKind, id: string): boolean;
}

type NameKind = 'node' | 'pad' | 'picture' | 'unit' | 'link' | 'key' | 'access' | 'input' | 'repair';

/** Returns the names of a file; problems go to `add`. */
export function namesIn(file: GuideFile, add: AddProblem): FileNames {
  const names = {
    node: { list: 'nodes', ids: file.nodes },
    pad: { list: 'pads', ids: file.pads.map((one) => one.id) },
    picture: { list: 'pictures', ids: file.pictures.map((one) => one.id) },
    unit: { list: 'units', ids: file.units.map((one) => one.id) },
    link: { list: 'links', ids: file.links.map((one) => one.id) },
    key: { list: 'keys', ids: file.keys.map((one) => one.id) },
    access: { list: 'access', ids: file.access.map((one) => one.id) },
    input: { list: 'inputs', ids: file.inputs.map((one) => one.id) },
    repair: { list: 'repairs', ids: file.repairs.map((one) => one.id) },
  } satisfies Record<NameKind, { list: string; ids: readonly string[] }>;
  const isKnown = (kind: NameKind, id: string): boolean => names[kind].ids.includes(id);
  const need = (kind: NameKind, id: string | undefined, path: Path): void => {
    if (id === undefined || isKnown(kind, id)) return;
    const { list, ids } = names[kind];
    add('ref.unknown', path, {
      kind: kind === 'access' ? 'state of access' : kind,
      id,
      list,
      near: didYouMean(id, ids),
    });
  };
  const fault = (link: string, mode: FaultMode | null, path: Path): void => {
    need('link', link, path);
    if (mode === null || !isKnown('link', link)) return;
    const { kind } = file.links.find((one) => one.id === link)!;
    if (canFail(kind, mode)) return;
    add('fault.cannot', path, { link, mode, kind: linkKinds[kind].text, modes: linkKinds[kind].modes.join(', ') });
  };
  return { add, need, fault, isKnown };
}

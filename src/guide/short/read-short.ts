import type { CheckKinds } from '../check-kind.ts';
import { guideFileSchema } from '../file/file-schema.ts';
import { schemaProblems } from '../file/schema-problems.ts';
import type { Path, SourceMap } from '../file/source-map.ts';
import { toGuide } from '../file/to-guide.ts';
import { problemAt } from '../problems/problem.ts';
import type { Guide, GuideProblem } from '../types.ts';
import { withCheckDefaults } from './check-defaults.ts';
import { expandShort } from './expand.ts';
import { shortGuideSchema } from './short-schema.ts';

export type ReadShort = { ok: true; data: unknown; source: SourceMap } | { ok: false; problems: GuideProblem[] };

/** Returns whether the data of a guide file are of the short form: it has a table of lines. */
export function isShort(data: unknown): data is Record<string, unknown> {
  return typeof data === 'object' && data !== null && Object.hasOwn(data, 'lines');
}

/**
 * Returns what a long guide file would hold, for one in the short form, with a source map that
 * leads back to the table; or everything that keeps it from being one.
 */
export function readShort(written: Record<string, unknown>, source: SourceMap, kinds: CheckKinds): ReadShort {
  const shaped = shortGuideSchema.safeParse(written);
  if (!shaped.success)
    return { ok: false, problems: schemaProblems(shaped.error.issues, written, source, shortGuideSchema) };
  const { data, origins, problems } = expandShort(shaped.data);
  if (problems.length > 0) {
    return {
      ok: false,
      problems: problems.map(({ code, path, args }) => problemAt(source, 'error', code, path, args)),
    };
  }
  const checks = withCheckDefaults(shaped.data, circuitOf(data, kinds));
  return { ok: true, data: { ...data, checks }, source: leadingBack(source, origins) };
}

/** Returns the guide of a circuit whose checks are not known yet; null when it has errors. */
function circuitOf(data: Record<string, unknown>, kinds: CheckKinds): Guide | null {
  const stand = { id: 'none', kind: 'look', title: '-', prompt: '-', question: '-', passAnswer: 'yes' };
  const shaped = guideFileSchema(kinds).safeParse({ ...data, checks: [stand] });
  return shaped.success ? toGuide(shaped.data) : null;
}

/** Returns a source map that looks for what was expanded where it comes from. */
function leadingBack(source: SourceMap, origins: Readonly<Record<string, readonly Path[]>>): SourceMap {
  const back = (path: Path): Path => {
    const [list, at, ...rest] = path;
    if (list === undefined || typeof at !== 'number') return path;
    const origin = origins[list]?.[at];
    return origin === undefined ? path : [...origin, ...rest];
  };
  return { place: (path) => source.place(back(path)), keyPlace: (path) => source.keyPlace(back(path)) };
}

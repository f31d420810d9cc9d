import { type Document, LineCounter, parseDocument, visit } from 'yaml';
import { yamlOptions } from '../../files/yaml-options.ts';
import type { CheckKinds } from '../check-kind.ts';
import { byPlace, problemAt } from '../problems/problem.ts';
import { referenceProblems } from '../problems/references.ts';
import { isShort, readShort } from '../short/read-short.ts';
import type { Guide, GuideProblem } from '../types.ts';
import { guideFileSchema } from './file-schema.ts';
import { schemaProblems } from './schema-problems.ts';
import { keepSource, nowhere, type SourceMap, sourceMap } from './source-map.ts';
import { toGuide } from './to-guide.ts';

/** A guide file has at most this many characters. */
const mostCharacters = 2_000_000;

export type ParsedGuide =
  | { ok: true; guide: Guide; warnings: GuideProblem[] }
  | { ok: false; problems: GuideProblem[] };

/**
 * Returns the guide in a YAML text, or every problem that keeps it from being one, sorted by line.
 *
 * Never throws, whatever the text. Syntax, fields, units and references are looked at here; what
 * the circuit makes of the checks is `guideProblems`' affair.
 *
 * @param fileName only for messages of the YAML parser
 */
export function parseGuideWith(text: string, fileName: string, kinds: CheckKinds): ParsedGuide {
  const refuse = (problems: GuideProblem[]): ParsedGuide => ({ ok: false, problems: problems.sort(byPlace) });
  if (text.length > mostCharacters) {
    const args = { size: String(text.length), most: String(mostCharacters) };
    return refuse([problemAt(nowhere, 'error', 'yaml.size', [], args)]);
  }
  const read = readYaml(text, fileName);
  if (!read.ok) return refuse(read.problems);
  const { warnings } = read;
  if (read.data === null || read.data === undefined) return refuse([problemAt(read.source, 'error', 'yaml.empty', [])]);
  const long = isShort(read.data) ? readShort(read.data, read.source, kinds) : ({ ...read, ok: true } as const);
  if (!long.ok) return refuse(long.problems);
  const { data, source } = long;
  const schema = guideFileSchema(kinds);
  const shaped = schema.safeParse(data);
  if (!shaped.success) return refuse(schemaProblems(shaped.error.issues, data, source, schema));
  const problems = referenceProblems(shaped.data, source);
  if (problems.length > 0) return refuse(problems);
  const guide = toGuide(shaped.data);
  keepSource(guide, source);
  return { ok: true, guide, warnings };
}

type ReadYaml =
  | { ok: true; data: unknown; source: SourceMap; warnings: GuideProblem[] }
  | { ok: false; problems: GuideProblem[] };

function readYaml(text: string, fileName: string): ReadYaml {
  const lines = new LineCounter();
  const at = (severity: GuideProblem['severity'], code: string, offset: number, reason: string): GuideProblem => {
    const { line, col } = lines.linePos(offset);
    return { ...problemAt(nowhere, severity, code, [], { reason }), line, column: col };
  };
  try {
    const document = parseDocument(text, {
      lineCounter: lines,
      ...yamlOptions,
    });
    if (document.errors.length > 0) {
      return {
        ok: false,
        problems: document.errors.map((error) => at('error', 'yaml.syntax', error.pos[0], error.message)),
      };
    }
    const warnings = document.warnings.map((warning) => at('warning', 'yaml.syntax', warning.pos[0], warning.message));
    const loose = looseAlias(document);
    if (loose !== null) return { ok: false, problems: [at('error', 'yaml.syntax', loose, 'no anchor has this alias')] };
    const source = sourceMap(document, lines);
    try {
      return { ok: true, data: document.toJS({ maxAliasCount: 100 }), source, warnings };
    } catch (cause) {
      if (!(cause instanceof ReferenceError)) throw cause;
      return { ok: false, problems: [{ ...problemAt(source, 'error', 'yaml.aliases', []), line: 1, column: 1 }] };
    }
  } catch (cause) {
    // the parser recurses over nested brackets: too deep a nest ends its stack
    const reason =
      cause instanceof RangeError ? 'it is nested too deep' : `${fileName} can't be read (${String(cause)})`;
    return {
      ok: false,
      problems: [{ ...problemAt(nowhere, 'error', 'yaml.syntax', [], { reason }), line: 1, column: 1 }],
    };
  }
}

/** Returns the offset of the first alias whose anchor isn't there, or null. */
function looseAlias(document: Document): number | null {
  let offset: number | null = null;
  visit(document, {
    Alias(_key, alias) {
      if (alias.resolve(document) !== undefined) return undefined;
      offset = alias.range?.[0] ?? 0;
      return visit.BREAK;
    },
  });
  return offset;
}

import { readFileSync } from 'node:fs';
import type { LinkKind } from '../../../src/guide/circuit/link-kinds.ts';
import type { FaultMode } from '../../../src/guide/types.ts';
import type { IsolationRules } from '../../../src/isolate/rules/isolation-rules.ts';

/** The numbers of a model: all that somebody has who works a posterior out again. */
export interface Stated {
  number(name: string): number;
  is(name: string): boolean;
  spans(name: string): [number, number][];
  modes: readonly FaultMode[];
  /** Of a way to fail against every other one; absent: links of the kind do not fail so. */
  weight(kind: LinkKind, mode: FaultMode): number | undefined;
}

const page = readFileSync(new URL('../../../src/isolate/MODEL.md', import.meta.url), 'utf8');

/** The model as its page has it. */
export const statedOnPage: Stated = statedBy(
  new Map(
    [...page.matchAll(/^\| `([a-z]+\.[A-Za-z]+)`\s+\| `(.*?)`\s+\|/gm)].map(([, name, value]) => [
      name!,
      JSON.parse(value!) as unknown,
    ]),
  ),
);

/** Returns the model of a set of rules that is kept for old records, for which there is no page any more. */
export function statedIn({ number: _, ...sections }: IsolationRules): Stated {
  return statedBy(
    new Map(
      Object.entries(sections).flatMap(([section, values]) =>
        Object.entries(values).map(([name, value]): [string, unknown] => [`${section}.${name}`, value]),
      ),
    ),
  );
}

function statedBy(values: ReadonlyMap<string, unknown>): Stated {
  const known = (name: string): unknown => {
    if (!values.has(name)) throw new Error(`the model states no ${name}`);
    return values.get(name);
  };
  return {
    number: (name) => Number(known(name)),
    is: (name) => known(name) === true,
    spans: (name) => known(name) as [number, number][],
    modes: known('suspects.modes') as FaultMode[],
    weight: (kind, mode) => weights.get(kind)?.get(mode),
  };
}

/** The page's table of weights: a row a kind of link, a column a way to fail. */
function weightsOnPage(): Map<string, Map<string, number>> {
  const rows = page.split('\n').map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  );
  const header = rows.findIndex(([first, second]) => first === 'kind of link' && second === 'open');
  const table = new Map<string, Map<string, number>>();
  for (const [kind, ...cells] of rows.slice(header + 2)) {
    if (kind === undefined) break;
    const own = cells.flatMap((cell, k): [string, number][] =>
      cell === '' ? [] : [[rows[header]![k + 1]!, Number(cell)]],
    );
    table.set(kind.replaceAll('`', ''), new Map(own));
  }
  return table;
}

const weights = weightsOnPage();

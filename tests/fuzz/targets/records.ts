import { readdirSync, readFileSync } from 'node:fs';
import { canonicalJson } from '../../../src/record/chain/canonical.ts';
import { firstPrev, sha256 } from '../../../src/record/chain/chain.ts';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { foldJob } from '../../../src/record/state/fold.ts';
import { verifyParsed } from '../../../src/verify/verify.ts';
import { entryLine } from '../../../src/view/words/entry.ts';
import { mutatedJson } from '../mutate-json.ts';
import type { Draw, FuzzTarget } from '../target.ts';

interface Line {
  apart?: unknown;
  body: Record<string, unknown>;
  sha256: string;
}

function lineOf(text: string): Line | null {
  try {
    const line = JSON.parse(text) as Line;
    return typeof line.body === 'object' && line.body !== null ? line : null;
  } catch {
    return null;
  }
}

/** Returns the same lines as one chain, as far as they hold an entry at all. */
function chainedAnew(bytes: Uint8Array): Uint8Array {
  let prev = firstPrev;
  const lines = Buffer.from(bytes).toString('utf8').split('\n');
  const sealed = lines.map((text, at) => {
    const line = lineOf(text);
    if (line === null) return text;
    try {
      const body = canonicalJson({ ...line.body, prev, n: at + 1 });
      const apart = line.apart === undefined ? '' : `"apart":${canonicalJson(line.apart)},`;
      prev = sha256(body);
      return `{${apart}"body":${body},"sha256":"${prev}"}`;
    } catch {
      return text;
    }
  });
  return Buffer.from(sealed.join('\n'));
}

/** Changes an entry, or what stands apart from it. */
function restructured(bytes: Uint8Array, draw: Draw): Uint8Array {
  const lines = Buffer.from(bytes).toString('utf8').split('\n');
  const at = draw.below(lines.length);
  const line = lineOf(lines[at]!);
  if (line === null) return bytes;
  const changed = mutatedJson(draw.below(12) === 0 ? line : line.body, draw);
  const isWhole = typeof changed === 'object' && changed !== null && 'body' in changed;
  return Buffer.from(lines.with(at, JSON.stringify(isWhole ? changed : { ...line, body: changed })).join('\n'));
}

const kept = new URL('../../fixtures/records/', import.meta.url);

/** Stretches of the kept records behind an opening whose guide is one letter: every kind of entry, in few bytes. */
function stretches(): Uint8Array[] {
  const short = 2;
  return readdirSync(kept).flatMap((name) => {
    const lines = readFileSync(new URL(name, kept), 'utf8').split('\n').slice(0, -1);
    const opened = lineOf(lines[0]!)!;
    (opened.body.guide as Record<string, unknown>).text = 'x';
    const found: Uint8Array[] = [];
    for (let at = 1; at < lines.length; at += short) {
      const some = [JSON.stringify(opened), ...lines.slice(at, at + short), ''].join('\n');
      found.push(chainedAnew(Buffer.from(some)));
    }
    return found.filter(({ length }) => length <= records.mostBytes);
  });
}

const words = [
  '"kind":"opened"',
  '"kind":"signed"',
  '"outcome":"pass"',
  '"apart":{',
  'null',
  '{}',
  '[]',
  '\\u0000',
  '\ud83d\udd25',
  '1e400',
  '-0',
];

/** A job record: taken apart, folded, its evidence worked out again, each entry told in a line. */
export const records: FuzzTarget = {
  name: 'records',
  executions: 1_000_000,
  mostBytes: 6_000,
  mostSteps: { base: 20_000, aByte: 60 },
  words,
  seeds: stretches,
  restructure: restructured,
  seal: chainedAnew,
  run(bytes) {
    const parsed = parseRecord(bytes);
    const entries = parsed.lines.map(({ entry }) => entry);
    const { checks, result, proofs, counts } = foldJob(entries);
    return {
      report: verifyParsed(parsed, bytes),
      state: { checks: Object.keys(checks), result, proofs, counts },
      told: entries.map((entry) => entryLine(entry)),
      damage: parsed.damage,
      torn: parsed.torn?.why,
    };
  },
};

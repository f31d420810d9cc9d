import type { Model } from '../isolate/model.ts';
import type { Belief } from '../isolate/types.ts';
import type { EntryOf } from '../job/entries.ts';
import type { RecordLine } from '../job/parse-record.ts';
import { parseRecord } from '../job/parse-record.ts';
import { type VerifyOptions, verifyRecord } from '../job/verify.ts';
import type { VerifyReport } from '../job/verify-report.ts';
import { believedOver, modelIn } from './believed.ts';

/** Two computations of one probability on different machines may differ in the last digits (exp, log). */
const tolerance = 1e-6;

/**
 * Returns what holds of a record, as `verifyRecord`, and of its conclusions: each belief that one states is worked out again from the guide
 * and the attempts that stand in the record before it. A record that another version of the program wrote may state what that
 * version believed: there, a difference is a note.
 */
export function verifyWhole(bytes: Uint8Array, options: VerifyOptions & { tool: string }): VerifyReport {
  const report = verifyRecord(bytes, options);
  const parsed = parseRecord(bytes);
  // what stands behind a damaged line is not known to follow from anything
  const { lines } = parsed;
  const entries = lines.map(({ entry }) => entry);
  if (!entries.some(({ kind }) => kind === 'concluded')) return report;
  const model = modelIn(entries);
  if (model === null) return report;
  let writtenBy = '';
  const beliefs = new Map(believedOver(model, entries).map((step) => [step.n, step.belief]));
  for (const line of lines) {
    if (line.entry.kind === 'opened' || line.entry.kind === 'resumed') writtenBy = line.entry.tool;
    if (line.entry.kind !== 'concluded') continue;
    const what = whyNot(line.entry, beliefs.get(line.entry.n), model);
    if (what === null) continue;
    const found = { n: line.entry.n, line: line.line, code: 'derive.conclusion', what };
    (writtenBy === options.tool ? report.departures : report.notes).push(found);
  }
  report.counters.derived += conclusionsIn(lines);
  report.departures.sort((a, b) => a.line - b.line);
  report.ok = report.departures.length === 0;
  return report;
}

function conclusionsIn(lines: readonly RecordLine[]): number {
  return lines.filter(({ entry }) => entry.kind === 'concluded').length;
}

function whyNot(entry: EntryOf<'concluded'>, belief: Belief | undefined, { guide }: Model): string | null {
  if (belief === undefined) return 'the attempts before it give no belief, the conclusion states one';
  for (const { id, p } of entry.decisions) {
    const due = belief.decisions.find((decision) => decision.id === id)?.p ?? 0;
    if (Math.abs(due - p) > tolerance)
      return `the attempts give ${id} a probability of ${due}, the conclusion says ${p}`;
  }
  const [first] = belief.decisions;
  if (entry.conclusion === 'fault' && (first === undefined || first.p < guide.confidence)) {
    return `the conclusion names a fault, but the likeliest has ${first?.p ?? 0} and the guide asks for ${guide.confidence}`;
  }
  if (entry.conclusion === 'fault' && first?.id !== entry.decisions[0]?.id) {
    return `the attempts make ${first?.id} likeliest, the conclusion names ${entry.decisions[0]?.id}`;
  }
  return entry.conclusion === 'none' && first?.id !== 'none'
    ? `the conclusion says that nothing is wrong, but ${first?.id} is likeliest`
    : null;
}

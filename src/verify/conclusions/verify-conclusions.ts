import type { Guide } from '../../guide/types.ts';
import type { Belief } from '../../isolate/types.ts';
import type { RecordLine } from '../../record/chain/parse-record.ts';
import { parseRecord } from '../../record/chain/parse-record.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';
import { concluded, type VerifyOptions, verifyRecord } from '../verify.ts';
import type { VerifyReport } from '../verify-report.ts';
import { type BeliefAfter, believedOver, guideIn } from './believed.ts';
import { limitsDeparture } from './limits-departure.ts';

/** Two computations of one probability on different machines may differ in the last digits (exp, log). */
const tolerance = 1e-6;

export interface VerifyWholeOptions extends VerifyOptions {
  /** What `believedOver` gives for the entries of these bytes, where the caller has it; left out, it is worked out. */
  beliefs?: readonly BeliefAfter[];
}

/**
 * Returns what holds of a record, as `verifyRecord`, and of what rests on the guide in it: attempts are judged by its limits
 * and rule, and each belief that a conclusion states is worked out again from it and the attempts before. All of it under the
 * record's own rules.
 */
export function verifyWhole(bytes: Uint8Array, options: VerifyWholeOptions = {}): VerifyReport {
  const report = verifyRecord(bytes, options);
  const parsed = parseRecord(bytes);
  // what stands behind a damaged line is not known to follow from anything
  const { lines } = parsed;
  const entries = lines.map(({ entry }) => entry);
  const guide = guideIn(entries);
  if (guide === null || !report.verifiable) return report;
  // a model costs something, and only conclusions need one
  const concludes = entries.some(({ kind }) => kind === 'concluded');
  const steps = options.beliefs ?? (concludes ? believedOver(guide, entries) : []);
  const beliefs = new Map(steps.map((step) => [step.n, step.belief]));
  const conclusionOf = (entry: Entry): string | null =>
    entry.kind === 'concluded' ? whyNot(entry, beliefs.get(entry.n), guide) : null;
  for (const line of lines) {
    const { n } = line.entry;
    const limits = limitsDeparture(line.entry, guide);
    if (limits !== null) report.departures.push({ n, line: line.line, code: 'evidence.limits', what: limits });
    const conclusion = conclusionOf(line.entry);
    if (conclusion !== null)
      report.departures.push({ n, line: line.line, code: 'derive.conclusion', what: conclusion });
  }
  report.counters.derived += conclusionsIn(lines);
  return concluded(report);
}

function conclusionsIn(lines: readonly RecordLine[]): number {
  return lines.filter(({ entry }) => entry.kind === 'concluded').length;
}

function whyNot(entry: EntryOf<'concluded'>, belief: Belief | undefined, guide: Guide): string | null {
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

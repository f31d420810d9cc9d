import type { RecordLine } from '../../record/chain/parse-record.ts';
import { parseRecord } from '../../record/chain/parse-record.ts';
import { verifyCautions } from '../determined/cautions.ts';
import { verifyCopies } from '../determined/codes.ts';
import { verifyAsked } from '../determined/guide-departures.ts';
import { verifyOpening } from '../determined/opening.ts';
import type { Say } from '../finding.ts';
import { concluded, type VerifyOptions, verifyParsed } from '../verify.ts';
import type { VerifyReport } from '../verify-report.ts';
import { type BeliefAfter, believedOver, guideIn } from './believed.ts';
import { conclusionDeparture } from './conclusion-departure.ts';

export interface VerifyWholeOptions extends VerifyOptions {
  /**
   * What `believedOver` gives for the entries of these bytes, where the caller has it; left out, it
   * is worked out.
   */
  beliefs?: readonly BeliefAfter[];
}

/**
 * Returns what holds of a record, as `verifyRecord`, and of what rests on the guide in it: attempts
 * are judged by its limits and rule, and each belief that a conclusion states is worked out again
 * from it and the attempts before. All of it under the record's own rules.
 */
export function verifyWhole(bytes: Uint8Array, options: VerifyWholeOptions = {}): VerifyReport {
  const parsed = parseRecord(bytes);
  const report = verifyParsed(parsed, bytes, options);
  // what stands behind a damaged line is not known to follow from anything
  const { lines } = parsed;
  const entries = lines.map(({ entry }) => entry);
  const guide = guideIn(entries);
  if (!report.verifiable) return report;
  const sayAt =
    ({ line, entry }: RecordLine): Say =>
    (code, what, compared) =>
      void report.departures.push({ n: entry.n, line, code, what, ...compared });
  const [first] = lines;
  if (guide === null) {
    if (first?.entry.kind === 'opened')
      sayAt(first)('guide.unreadable', 'the guide in this record can not be read, so nothing can be held against it');
    return concluded(report);
  }
  // a model costs something, and only conclusions need one
  const concludes = entries.some(({ kind }) => kind === 'concluded');
  const steps = options.beliefs ?? (concludes ? believedOver(guide, entries, ({ kind }) => kind === 'concluded') : []);
  const stepAt = new Map(steps.map((step) => [step.n, step]));
  for (const line of lines) {
    const { entry } = line;
    if (entry.kind === 'opened') verifyOpening(entry, guide, sayAt(line));
    verifyAsked(entry, guide, sayAt(line));
    if (entry.kind !== 'concluded') continue;
    const step = stepAt.get(entry.n);
    const departure =
      step === undefined
        ? { what: 'the attempts before it give no belief, the conclusion states one' }
        : conclusionDeparture(entry, step);
    if (departure !== null) sayAt(line)('derive.conclusion', departure.what, departure.compared);
  }
  verifyCautions(lines, guide, sayAt);
  verifyCopies(lines, sayAt);
  report.counters.derived += conclusionsIn(lines);
  return concluded(report);
}

function conclusionsIn(lines: readonly RecordLine[]): number {
  return lines.filter(({ entry }) => entry.kind === 'concluded').length;
}

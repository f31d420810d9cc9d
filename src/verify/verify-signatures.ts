import type { RecordLine } from '../record/chain/parse-record.ts';
import type { EntryOf } from '../record/entries/entries.ts';
import type { Succession } from '../record/entries/succession-part.ts';
import { checkSignature, noSignature } from '../record/signing/signed-head.ts';
import { isSound, leadsTo } from '../record/signing/succession.ts';
import type { Say } from './finding.ts';
import type { VerifyReport } from './verify-report.ts';

/**
 * Adds what the signatures of a record come to. Each closing has one of its own: by the bench that
 * opened the job, or that added to it. The last one covers all before it through the chain, so only
 * the record's end must be signed.
 */
export function verifySignatures(
  lines: readonly RecordLine[],
  report: VerifyReport,
  { expectedKey, successions }: { expectedKey?: string; successions: readonly Succession[] },
): void {
  let begun: EntryOf<'opened'> | EntryOf<'addendum'> | null = null;
  let job = '';
  let isClosed = false;
  for (const { line, entry } of lines) {
    const say: Say = (code, what) => report.departures.push({ n: entry.n, line, code, what });
    if (entry.kind === 'opened') job = entry.job;
    if (entry.kind === 'closed') isClosed = true;
    if (entry.kind === 'opened' || entry.kind === 'addendum') {
      if (isClosed && report.signature.state === 'none')
        report.notes.push({
          n: entry.n,
          line,
          code: 'signature.none',
          what: 'what was closed before this is not signed',
        });
      [begun, isClosed, report.signature] = [entry, false, noSignature];
    }
    if (entry.kind !== 'signed') continue;
    const signature = checkSignature(entry, { job, format: begun?.format ?? 1 }, expectedKey, successions);
    report.signature = signature;
    report.signatures.push({ ...signature, n: entry.n });
    const { state, fingerprint, publicKey } = signature;
    if (state === 'broken') say('signature.broken', 'the signature is not one over this chain by the key beside it');
    if (state === 'other-key') say('signature.other-key', `signed by another key (${fingerprint}) than the one given`);
    const led = entry.succession ?? [];
    if (!led.every((one, i) => isSound(one) && one.to === (led[i + 1]?.from ?? publicKey)))
      say('signature.succession', 'the keys that it names as earlier ones of the bench did not lead to this one');
    if (begun?.bench !== undefined && !leadsTo(begun.bench.key, entry.publicKey, led))
      say('signature.bench', 'it is signed by another key than that of the bench which opened it');
  }
  if (report.signature.state !== 'none') return;
  const last = lines.at(-1);
  const place = {
    n: last?.entry.n ?? null,
    line: last?.line ?? 1,
    code: 'signature.none',
    what: 'the record is not signed',
  };
  // a bench that counts its records signs each of them
  if (expectedKey !== undefined || (isClosed && begun?.bench !== undefined)) report.departures.push(place);
  else if (isClosed) report.notes.push(place);
}

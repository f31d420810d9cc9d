import { canonicalJson } from '../chain/canonical.ts';
import type { Succession } from '../entries/succession-part.ts';
import { type BenchKey, isSignedBy } from './bench-key.ts';

type Handover = Pick<Succession, 'from' | 'to' | 'at' | 'last'>;

/** What both keys sign: a purpose, and what is handed over. */
function message({ from, to, at, last }: Handover): Buffer {
  return Buffer.from(`ohmwright key succession 1\n${canonicalJson({ from, to, at, last })}\n`);
}

/** Returns the statement by which a key hands over to the next. */
export function succeed(old: BenchKey, next: BenchKey, at: string, last: Succession['last']): Succession {
  const handover = { from: old.publicKey, to: next.publicKey, at, last };
  return { ...handover, byFrom: old.sign(message(handover)), byTo: next.sign(message(handover)) };
}

/** Returns whether both keys have signed a statement. */
export function isSound(statement: Succession): boolean {
  const text = message(statement);
  return isSignedBy(statement.from, text, statement.byFrom) && isSignedBy(statement.to, text, statement.byTo);
}

/** Returns whether sound statements lead from one key to a later one of the same bench. */
export function leadsTo(from: string, to: string, statements: readonly Succession[]): boolean {
  const seen = new Set([from]);
  for (const key of seen) {
    if (key === to) return true;
    for (const one of statements) if (one.from === key && !seen.has(one.to) && isSound(one)) seen.add(one.to);
  }
  return false;
}

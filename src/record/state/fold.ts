import type { Outcome } from '../../measure/types.ts';
import type { Entry, EntryOf } from '../entries/entries.ts';
import { rulesFrom } from '../entries/rules.ts';
import { simulatedPort } from '../entries/simulated-port.ts';
import { type AttemptEntry, evidenceOf, isAttempt, storedKindOf } from '../kinds/stored-kinds.ts';
import { addTo, isRepairedAfter, repairsNow } from './addendum.ts';
import { derive, noCounts } from './job-result.ts';
import type { AttemptResult, CheckState, JobState } from './job-state.ts';
import { recordProof, spanForCapture, spanForProbe } from './proof-spans.ts';

export { closingEntry } from './job-result.ts';
export type { JobState } from './job-state.ts';

/** Returns the state of a job without any entry. */
export function emptyJob(): JobState {
  return derive({
    opened: null,
    job: null,
    rules: 1,
    entries: 0,
    lastAt: null,
    cautions: [],
    probe: null,
    emulated: false,
    power: null,
    checks: noChecks(),
    spans: [],
    proofs: { opening: {}, closing: {}, standing: 'missing' },
    failedProofs: [],
    doubtful: false,
    unfinished: [],
    counts: noCounts,
    gaps: [],
    live: [],
    repairs: [],
    addenda: [],
    resultBefore: null,
    returned: null,
    concluded: null,
    found: null,
    notes: [],
    resumes: 0,
    recovered: [],
    link: null,
    customer: null,
    signed: null,
    closed: null,
    result: 'inconclusive',
  });
}

/**
 * Returns the state that a sequence of entries comes to. Pure and total: never throws on entries of
 * valid form, in any order.
 */
export function foldJob(entries: Iterable<Entry>): JobState {
  let state = growing(emptyJob());
  for (const entry of entries) state = afterEntry(state, entry);
  return lengthsOf(state)();
}

/** An entry, and what the entries before it and those up to it come to, worked out where it is asked for. */
export interface FoldStep {
  entry: Entry;
  before(): JobState;
  after(): JobState;
}

/** Returns each entry of a sequence with the states around it. Pure and total, as `foldJob`. */
export function* foldSteps(entries: Iterable<Entry>): Generator<FoldStep> {
  let state = growing(emptyJob());
  let before = lengthsOf(state);
  for (const entry of entries) {
    state = afterEntry(state, entry);
    const after = lengthsOf(state);
    yield { entry, before, after };
    before = after;
  }
}

/** Lists of a state that entries only add to. */
const lists = ['cautions', 'failedProofs', 'live', 'gaps', 'notes', 'recovered', 'addenda', 'repairs'] as const;
/** Lists that grow in place while a sequence is folded: to copy each at every entry takes the square of their number. */
const owned = new WeakSet<readonly unknown[]>();

function growing(state: JobState): JobState {
  for (const name of lists) owned.add(state[name]);
  return state;
}

/** Returns what gives a state as it is now, whatever is added to its lists later. */
function lengthsOf(state: JobState): () => JobState {
  const lengths = lists.map((name) => state[name].length);
  return () => {
    const held = lists.map((name, at) => [name, state[name].slice(0, lengths[at])]);
    return derive({ ...state, ...(Object.fromEntries(held) as Pick<JobState, (typeof lists)[number]>) });
  };
}

function withMore<T>(list: T[], more: T): T[] {
  if (!owned.has(list)) return [...list, more];
  list.push(more);
  return list;
}

/**
 * Returns the state after one more entry; `state` itself is left as it is. A second `opened` or
 * `closed` changes nothing.
 */
export function foldEntry(state: JobState, entry: Entry): JobState {
  return derive(afterEntry(state, entry));
}

/** The same without what `derive` works out; nothing of that has a say in what the next entry changes. */
function afterEntry(state: JobState, entry: Entry): JobState {
  const next: JobState = { ...state, entries: state.entries + 1, lastAt: entry.at };
  next.rules = rulesFrom(entry) ?? next.rules;
  apply(next, entry);
  return next;
}

function foundAfter({ found, repairs }: JobState, entry: EntryOf<'concluded'>): EntryOf<'concluded'> | null {
  if (entry.conclusion === 'fault' || entry.conclusion === 'group') return entry;
  return found !== null && isRepairedAfter(found, repairs) ? found : null;
}

function apply(state: JobState, entry: Entry): void {
  if (isAttempt(entry)) {
    attempt(state, entry);
    return;
  }
  switch (entry.kind) {
    case 'opened':
      open(state, entry);
      return;
    case 'caution':
      if (!state.cautions.includes(entry.id)) state.cautions = withMore(state.cautions, entry.id);
      return;
    case 'probe':
      state.probe = entry;
      state.emulated ||= entry.path === simulatedPort;
      state.spans = spanForProbe(state.spans, entry);
      return;
    case 'proof':
      state.spans = recordProof(state.spans, entry, state.rules);
      if (entry.capture !== null && entry.outcome !== 'pass')
        state.failedProofs = withMore(state.failedProofs, entry.n);
      return;
    case 'skipped':
      state.concluded = null;
      change(state, entry.check, (check) => ({
        ...check,
        skipped: { reason: entry.reason, by: entry.by, at: entry.at },
        // a skip never hides a fail and never leaves a pass standing
        outcome: check.outcome === 'pass' ? null : check.outcome,
      }));
      return;
    case 'repeat':
      state.concluded = null;
      change(state, entry.check, (check) => ({
        ...check,
        outcome: null,
        skipped: null,
        withdrawn: check.attempts.length,
        [repairsNow(state).length === 0 ? 'before' : 'after']: null,
      }));
      return;
    case 'live':
      state.live = withMore(state.live, entry);
      return;
    case 'gap':
      state.gaps = withMore(state.gaps, entry);
      return;
    case 'link':
      state.link = entry.counters;
      return;
    case 'note':
      state.notes = withMore(state.notes, { n: entry.n, at: entry.at, text: entry.text });
      return;
    case 'resumed':
      // whoever resumes cannot know what was done to the device meanwhile
      state.power = null;
      state.resumes += 1;
      return;
    case 'concluded':
      state.concluded = entry;
      state.found = foundAfter(state, entry);
      return;
    case 'repair':
      repair(state, entry);
      return;
    case 'power':
      state.power = entry.to;
      return;
    case 'recovered':
      state.recovered = withMore(state.recovered, entry);
      return;
    case 'closed':
      state.closed ??= entry;
      return;
    case 'addendum':
      addTo(state, entry, derive(state).result);
      return;
    case 'signed':
      state.signed ??= entry;
      return;
    case 'customer':
      state.customer ??= entry;
      return;
  }
}

function open(state: JobState, entry: EntryOf<'opened'>): void {
  if (state.opened !== null) return;
  state.opened = entry;
  state.emulated ||= entry.emulated === true;
  state.job = entry.job;
  const listed = noChecks();
  for (const { id, title, kind } of entry.guide.checks) {
    const seen = state.checks[id] ?? freshCheck(id);
    listed[id] = { ...seen, title, kind, inGuide: true };
  }
  state.checks = withPrototypeNone({ ...listed, ...unlisted(state.checks, listed) });
}

function unlisted(all: Record<string, CheckState>, listed: Record<string, CheckState>): Record<string, CheckState> {
  const rest = noChecks();
  for (const [id, check] of Object.entries(all)) if (!(id in listed)) rest[id] = check;
  return rest;
}

function attempt(state: JobState, entry: AttemptEntry): void {
  const { isMeasured, source, shown } = storedKindOf(entry);
  if (isMeasured) state.spans = spanForCapture(state.spans, source(entry));
  const result: AttemptResult = {
    n: entry.n,
    at: entry.at,
    kind: entry.kind,
    attempt: entry.attempt,
    phase: entry.phase,
    repairs: state.repairs.length,
    outcome: entry.outcome,
    evidence: evidenceOf(entry),
    span: isMeasured ? state.spans.length - 1 : null,
    ...shown(entry),
  };
  state.concluded = null;
  change(state, entry.check, (check) => ({
    ...check,
    kind: check.inGuide ? check.kind : entry.kind,
    attempts: [...check.attempts, result],
    skipped: null,
    outcome: entry.outcome,
    [entry.phase]: entry.outcome,
  }));
}

/**
 * After a repair no outcome stands any more: what was done is to be done again, and what it came to
 * before stays beside.
 */
function repair(state: JobState, entry: EntryOf<'repair'>): void {
  state.repairs = withMore(state.repairs, entry);
  state.resultBefore = null;
  // a contact that comes and goes may never give a fail: what it did was a fault if that is what
  // was concluded
  const isFault = (outcome: Outcome): boolean =>
    outcome === 'fail' || (outcome === 'unsteady' && state.concluded?.conclusion === 'fault');
  const listed = Object.values(state.checks);
  const faulty = new Set(listed.flatMap(({ id, outcome }) => (outcome !== null && isFault(outcome) ? [id] : [])));
  state.concluded = null;
  for (const { id, outcome, attempts } of Object.values(state.checks)) {
    if (outcome === null) continue;
    change(state, id, (check) => ({
      ...check,
      outcome: null,
      skipped: null,
      after: null,
      redo: check.redo || saysSomething(outcome),
      failedBefore: faulty.has(id) ? attempts.length - 1 : check.failedBefore,
    }));
  }
}

function saysSomething(outcome: Outcome): boolean {
  return outcome !== 'no-contact' && outcome !== 'live';
}

function change(state: JobState, id: string, edit: (check: CheckState) => CheckState): void {
  state.resultBefore = null;
  const edited = edit(state.checks[id] ?? freshCheck(id));
  state.checks = withPrototypeNone({ ...state.checks, [id]: edited });
}

/** Returns a check of which nothing is known yet, and which the opening did not list. */
export function freshCheck(id: string): CheckState {
  return {
    id,
    title: id,
    kind: 'unlisted',
    inGuide: false,
    attempts: [],
    withdrawn: 0,
    redo: false,
    failedBefore: null,
    skipped: null,
    outcome: null,
    before: null,
    after: null,
    doubtful: false,
  };
}

// check ids come from a guide: one named like a member of Object.prototype must find nothing there
function noChecks(): Record<string, CheckState> {
  return Object.create(null) as Record<string, CheckState>;
}

function withPrototypeNone(checks: Record<string, CheckState>): Record<string, CheckState> {
  return Object.setPrototypeOf(checks, null) as Record<string, CheckState>;
}

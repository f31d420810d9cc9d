import type { Check, CheckKindName } from '../../guide/types.ts';
import type { StoredOf } from '../../record/kinds/stored-kinds.ts';
import type { TaskRun } from '../../session/job/job-session-state.ts';

type CheckOf<K extends CheckKindName> = Extract<Check, { kind: K }>;

/** What a person reads of checks of one kind, or of several that are done alike. */
export interface KindWords<K extends CheckKindName> {
  /** Returns lines on what happens while the tips stay on. */
  stay(check: CheckOf<K>): string[];
  /**
   * Returns what to do in this stage, where the kind has words of its own for it; null elsewhere.
   *
   * @param asked what was asked last, in its short form
   */
  action(run: TaskRun, check: CheckOf<K>, asked: string): string | null;
  /** Returns how far a check of more than one step is, to stand beside the digits; null elsewhere. */
  step(run: TaskRun): string | null;
  /** Returns what an attempt says behind its outcome. */
  recorded(entry: StoredOf<K>): string;
}

/** A kind as it meets any check and entry: only ever its own. */
export interface AnyKindWords {
  stay(check: Check): string[];
  action(run: TaskRun, check: Check, asked: string): string | null;
  step(run: TaskRun): string | null;
  recorded(entry: StoredOf<CheckKindName>): string;
}

/** Returns the check, and which attempt it was when it was not the first. */
export function attempted({ check, attempt }: { check: string; attempt: number }): string {
  return attempt === 1 ? check : `${check}, attempt ${attempt}`;
}

/** Returns for how long a touch must be steady, where a guide asks for more than usual. */
export function dwellLines({ dwellMs }: Pick<Check, 'dwellMs'>): string[] {
  return dwellMs === undefined ? [] : [`Hold still for ${dwellMs / 1000} s.`];
}

/** Returns what to do while a touch settles. */
export function holdStill(check: Pick<Check, 'dwellMs'> | null): string {
  return check?.dwellMs === undefined ? 'Hold still.' : `Hold still for ${check.dwellMs / 1000} s.`;
}

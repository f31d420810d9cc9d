import { parseGuide } from '../checks/guides.ts';
import type { Guide, GuideProblem } from '../guide/types.ts';
import { planSitting, type SittingTouch } from './sitting-plan.ts';
import { type LearnTable, withChecks } from './table.ts';

/** A sitting as the session takes it: a guide whose checks are its touches. */
export interface Sitting {
  text: string;
  guide: Guide;
  /** The touches by the id of their check. */
  touches: ReadonlyMap<string, SittingTouch>;
}

/**
 * Returns the sitting for a table: a guide with one check for each touch. Its limits let every
 * value through, for here the values are what is asked.
 */
export function sittingOf(table: LearnTable): { ok: true; sitting: Sitting } | { ok: false; problems: GuideProblem[] } {
  const touches = new Map(planSitting(table).map((touch) => [touchId(touch), touch]));
  const text = withChecks(
    table.text,
    [...touches].map(([id, touch]) => checkOf(id, touch)),
  );
  const parsed = parseGuide(text, 'the sitting');
  if (!parsed.ok) return parsed;
  return { ok: true, sitting: { text, guide: parsed.guide, touches } };
}

/** Returns what names a touch: what it is for, its pads, keys and state. */
function touchId({ what, pads, access, pressed }: SittingTouch): string {
  return [what, ...pads, ...pressed.map((key) => `with.${key}`), ...(access === null ? [] : [access])].join('-');
}

const anyOhm = 'min -1 ohm';

function checkOf(id: string, { what, pads, access, pressed }: SittingTouch): object {
  const common = { id, pads, ...(access === null ? {} : { access }), ...(pressed.length === 0 ? {} : { pressed }) };
  switch (what) {
    case 'value':
    case 'apart':
      return { ...common, limits: anyOhm, minutes: pressed.length === 0 ? 1 : 2 };
    case 'film':
      return { ...common, kind: 'dry-normal', limits: anyOhm, minutes: 2 };
    case 'steady':
      return { ...common, kind: 'steady', limits: anyOhm, minutes: 2 };
    case 'volt':
      return { ...common, kind: 'voltage', power: 'on', limits: '-20..20 V' };
  }
}

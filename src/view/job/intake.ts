import type { Guide } from '../../guide/types.ts';
import { askedFields, type IntakeField, type IntakeFields, intakeOf, intakeQuestions } from './intake-fields.ts';
import type { KeyPress } from './keyboard.ts';

/** The intake while it is being asked. */
export interface Intake {
  guide: Guide;
  fields: IntakeFields;
  /**
   * Fields that are asked, in order; `override` only where the guide does not hold, `contact` only
   * of a customer who has a name.
   */
  asked: IntakeField[];
  at: number;
  /** Line of the list of revisions. */
  cursor: number;
  draft: string;
  done: boolean;
}

const longestText = 200;

/**
 * Returns the intake for what the options leave open; `done` at once when they leave nothing open.
 */
export function startIntake(guide: Guide, given: IntakeFields): Intake {
  const fields = intakeOf(given);
  const [only] = guide.revisions.holds;
  if (fields.revision === undefined && guide.revisions.holds.length === 1 && guide.revisions.not.length === 0)
    fields.revision = only!;
  const missing = askedFields.filter((field) => fields[field] === undefined);
  // who gave all the rest as options is not held up for what may be left out
  const asked = missing.some((field) => intakeQuestions[field].always)
    ? missing
    : missing.filter((field) => field === 'override');
  const intake: Intake = { guide, fields, asked, at: 0, cursor: 0, draft: '', done: false };
  return forward(intake, 0);
}

/** Revisions to choose from: those the guide holds for, then those it names as different. */
export function revisionChoices(guide: Guide): { revision: string; refused: string | null }[] {
  return [
    ...guide.revisions.holds.map((revision) => ({ revision, refused: null })),
    ...guide.revisions.not.map(({ revision, reason }) => ({ revision, refused: reason })),
  ];
}

/**
 * Returns why the guide does not hold for the revision chosen, or null when it does (or none is
 * chosen).
 */
export function refusalOf({ guide, fields }: Intake): string | null {
  const { revision } = fields;
  if (revision === undefined || guide.revisions.holds.includes(revision)) return null;
  return guide.revisions.not.find((n) => n.revision === revision)?.reason ?? 'the guide does not list this revision';
}

export function fieldInHand({ asked, at }: Intake): IntakeField | null {
  return asked[at] ?? null;
}

/**
 * Returns the intake after a key: Enter takes the field, Escape goes back one, up and down choose a
 * revision. Pure.
 */
export function stepIntake(intake: Intake, key: KeyPress): Intake {
  const field = fieldInHand(intake);
  if (field === null || intake.done) return intake;
  if (key.escape === true) return back(intake);
  if (field === 'revision') return chooseRevision(intake, key);
  if (key.return === true) {
    const text = intake.draft.trim();
    if (text === '' && field === 'override') return intake;
    const { [field]: _old, ...others } = intake.fields;
    const fields = text === '' ? others : { ...others, [field]: text };
    return forward({ ...intake, fields, draft: '' }, intake.at + 1);
  }
  if (key.backspace === true) return { ...intake, draft: [...intake.draft].slice(0, -1).join('') };
  if (key.ctrl === true || !/^[^\p{C}]+$/u.test(key.input)) return intake;
  return { ...intake, draft: `${intake.draft}${key.input}`.slice(0, longestText) };
}

function chooseRevision(intake: Intake, key: KeyPress): Intake {
  const choices = revisionChoices(intake.guide);
  const move = key.up === true ? -1 : key.down === true ? 1 : 0;
  const cursor = (intake.cursor + move + choices.length) % choices.length;
  if (key.return !== true) return { ...intake, cursor };
  const { override: _other, ...fields } = intake.fields;
  return forward({ ...intake, fields: { ...fields, revision: choices[cursor]!.revision } }, intake.at + 1);
}

function forward(intake: Intake, from: number): Intake {
  let at = from;
  while (isIdle(intake, at)) at++;
  return { ...intake, at, done: at >= intake.asked.length };
}

/**
 * Whether a field has nothing to ask: no reason for a revision that holds, no contact without a
 * customer.
 */
function isIdle(intake: Intake, at: number): boolean {
  const field = intake.asked[at];
  if (field === 'override') return refusalOf(intake) === null;
  return field === 'contact' && intake.fields.customer === undefined;
}

function back(intake: Intake): Intake {
  let at = intake.at - 1;
  while (isIdle(intake, at)) at--;
  const field = intake.asked[at];
  if (field === undefined) return intake;
  return { ...intake, at, draft: field === 'revision' ? '' : (intake.fields[field] ?? '') };
}

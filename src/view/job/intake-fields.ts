/** What may be told of a job when it is opened, beside its guide. */
interface Field {
  /** What follows the option on the command line. */
  value: `<${string}>`;
  /** The option in the help. */
  about: string;
  /** The question on the screen; null: it is not asked. */
  asked: {
    label: string;
    hint: string;
    /**
     * Asked whenever it was not given; one that is not is left out when everything else was given.
     */
    always: boolean;
  } | null;
}

/**
 * Every field, in the order in which it is asked. The one table of options, questions, and what is
 * taken into the record.
 */
export const intakeFields = {
  revision: {
    value: '<name>',
    about: 'revision of the device',
    asked: { label: 'Revision', hint: 'Up and down choose, Enter takes it.', always: true },
  },
  override: {
    value: '<why>',
    about: 'go on although the guide does not hold for this revision; the reason stays in the record',
    asked: {
      label: 'Why all the same',
      hint: 'The guide does not hold for this revision. Say why you go on: it stays in the record. Escape: another revision.',
      always: false,
    },
  },
  ticket: {
    value: '<text>',
    about: 'ticket number',
    asked: {
      label: 'Ticket',
      hint: 'The number of the job sheet. Enter alone: none. Escape goes back.',
      always: true,
    },
  },
  symptom: {
    value: '<text>',
    about: 'what the customer reports',
    asked: {
      label: 'Symptom',
      hint: 'What the customer reports. Enter alone: nothing. Escape goes back.',
      always: true,
    },
  },
  serial: {
    value: '<text>',
    about: "the device's serial number",
    asked: { label: 'Serial number', hint: 'On the device. Enter alone: none. Escape goes back.', always: true },
  },
  technician: {
    value: '<text>',
    about: 'who is at the bench',
    asked: {
      label: 'Technician',
      hint: 'Who is at the bench, for all jobs of today. Enter alone: nobody is named. Escape goes back.',
      always: false,
    },
  },
  customer: {
    value: '<name>',
    about: 'whose device it is; kept apart in the record, so that it can be taken away again',
    asked: {
      label: 'Customer',
      hint: 'Whose device it is. Enter alone: nobody is named, and the job begins. Kept apart: it can be taken out of the record again.',
      always: false,
    },
  },
  contact: {
    value: '<text>',
    about: 'how to reach the customer; kept apart likewise',
    asked: {
      label: 'Contact',
      hint: 'How to reach the customer. Enter alone: nothing. Then the job begins. Kept apart likewise.',
      always: false,
    },
  },
} as const satisfies Record<string, Field>;

/** What is told of a job; what is not told is left out. */
export type IntakeFields = { -readonly [Name in keyof typeof intakeFields]?: string };

/** A field that the screen asks for. */
export type IntakeField = {
  [Name in keyof typeof intakeFields]: (typeof intakeFields)[Name]['asked'] extends null ? never : Name;
}[keyof typeof intakeFields];

/** The question of each field that is asked. */
export const intakeQuestions = Object.fromEntries(
  Object.entries(intakeFields).flatMap(([name, { asked }]) => (asked === null ? [] : [[name, asked]])),
) as Record<IntakeField, NonNullable<Field['asked']>>;

/** The fields that are asked, in their order. */
export const askedFields = Object.keys(intakeQuestions) as IntakeField[];

/** Returns what options or answers tell of a job, and nothing else of them. */
export function intakeOf(told: IntakeFields): IntakeFields {
  const names = Object.keys(intakeFields) as (keyof IntakeFields)[];
  return Object.fromEntries(names.flatMap((name) => (told[name] === undefined ? [] : [[name, told[name]]])));
}

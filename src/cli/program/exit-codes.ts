import type { RecordVerdict } from '../../verify/verify-report.ts';

/** One way in which the program can end. */
interface Ending {
  code: number;
  meaning: string;
  /** Errors that end so: the beginnings of their dotted codes; the longest that fits counts. */
  errors: readonly string[];
}

/**
 * Every exit code, from the best ending to the worst: of several files, the worst decides. What
 * can't be relied on is worse than what can't be read, and that is worse than what failed. `--help`
 * and src/cli/README.md take their lists from here.
 */
const endings = {
  passed: {
    code: 0,
    meaning: 'done; a job: every check passed, or passes after a repair, with a proved probe',
    errors: [],
  },
  inconclusive: {
    code: 3,
    meaning:
      'inconclusive: something stayed unknown; no fault found, with checks left undone; a job abandoned; a calibration or limits in doubt; too few proofs',
    errors: [],
  },
  failed: {
    code: 1,
    meaning: 'a check failed, or a fault was found; a probe drifts; a calibration is refused',
    errors: [],
  },
  usage: {
    code: 2,
    meaning: 'usage, or a bad file',
    errors: [
      'usage',
      'file',
      'guide',
      'set',
      'points',
      'limits',
      'priors',
      'evidence',
      'sim',
      'calibration.no-serial',
      'record.closed-job',
      'record.guide',
    ],
  },
  port: { code: 4, meaning: 'port: none, busy or forbidden', errors: ['port', 'health.port', 'sim.pty'] },
  link: {
    code: 5,
    meaning: 'link: not a probe, another protocol version, or lost',
    errors: ['link', 'calibration.not-written'],
  },
  output: { code: 9, meaning: 'output: not to be written, or there already', errors: ['output'] },
  notVerifiable: {
    code: 7,
    meaning: 'record: not verifiable by this version (rules or format of a newer one)',
    errors: ['record.newer'],
  },
  unsigned: { code: 8, meaning: 'record: not signed, where a signature is expected', errors: ['record.unsigned'] },
  record: {
    code: 6,
    meaning: 'record: damaged, in use, or not to be stored',
    errors: ['record', 'key', 'calibration.disk', 'ledger'],
  },
  fault: { code: 70, meaning: 'a fault in ohmwright itself', errors: [] },
  interrupted: { code: 130, meaning: 'interrupted by Ctrl-C (SIGINT)', errors: [] },
  hungUp: { code: 129, meaning: 'ended because its terminal went away (SIGHUP)', errors: [] },
  terminated: { code: 143, meaning: 'ended by SIGTERM', errors: [] },
} as const satisfies Record<string, Ending>;

export type EndingName = keyof typeof endings;
export type ExitCode = (typeof endings)[EndingName]['code'];

const inOrder: readonly Ending[] = Object.values(endings);

/** Exit codes by name. */
export const exitCodes = Object.fromEntries(
  Object.entries(endings).map(([name, { code }]) => [name, code]),
) as unknown as { readonly [Name in EndingName]: (typeof endings)[Name]['code'] };

/** The exit code for each thing that a verifier can say of a record, whatever command asked it. */
export const verdictExits: Readonly<Record<RecordVerdict, number>> = {
  holds: exitCodes.passed,
  departs: exitCodes.record,
  'not-verifiable': exitCodes.notVerifiable,
  'not-signed': exitCodes.unsigned,
};

/**
 * Returns the exit code of an error by its dotted code; null for a code that is not in the table.
 */
export function exitCodeOf(errorCode: string): number | null {
  const fitting = inOrder.flatMap(({ code, errors }) =>
    errors
      .filter((begin) => errorCode === begin || errorCode.startsWith(`${begin}.`))
      .map((begin) => ({ code, begin })),
  );
  return fitting.toSorted((a, b) => b.begin.length - a.begin.length)[0]?.code ?? null;
}

/**
 * Returns the worst of some exit codes, in the order of the table; 0 for none. A code that is not
 * in the table is the worst.
 */
export function worstExit(codes: readonly number[]): number {
  const rank = (code: number): number => {
    const at = inOrder.findIndex((ending) => ending.code === code);
    return at === -1 ? inOrder.length : at;
  };
  return codes.reduce((worst, code) => (rank(code) > rank(worst) ? code : worst), exitCodes.passed as number);
}

/** Every exit code with its meaning, by number. */
export const exitMeanings: readonly { code: number; meaning: string }[] = inOrder
  .map(({ code, meaning }) => ({ code, meaning }))
  .toSorted((a, b) => a.code - b.code);

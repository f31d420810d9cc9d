import type { Explanation, Statement, StatementKind } from '../../verify/explain/explain.ts';
import type { RestingOn } from '../../verify/explain/rests-on.ts';
import type { Departure } from '../../verify/verify-report.ts';

/** How each statement is worked out again. */
const how: Record<StatementKind, string> = {
  opening: 'checks, device and revision from the text of the guide',
  calibration: 'from what it was made of, and from the nominal numbers',
  caution: 'its text from the guide',
  proof: 'from its raw codes, under the calibration; bounds and rule from the calibration',
  outcome: 'from its raw codes or answer, under the calibration; limits and rule from the guide',
  repair: 'from the repairs and units of the guide',
  conclusion: 'from the circuit of the guide and the attempts that count',
  closing: 'result, proofs and counts from the entries before it',
  signature: 'over the hash of the entry before it, which covers all the others',
};

const resting: Record<RestingOn, string> = {
  clock: "times are those of the host's clock",
  device: 'the device on the bench was the one that is named',
  tips: 'the tips stood where the prompt said',
  answers: 'a person saw what they answered',
  presses: 'the key was pressed as it was asked for',
  repairs: 'what is called done was done',
  probe: 'the probe told the codes of its own tips',
  'calibration-file': "the calibration is that of the host's file (--calibration holds it against the file)",
  key: 'the key is whose it is said to be, and its holder invented no codes',
};

const comes = {
  same: 'comes to the same',
  other: 'DOES NOT come to it',
  unknown: 'not worked out: rules or format of a newer version',
} as const;

/** Returns an explanation in plain lines. */
export function explainedLines({ statements, others, restsOn }: Explanation): string[] {
  return [
    'What follows from what:',
    ...statements.flatMap(statementLines),
    ...(others.length === 0 ? [] : ['Departures of the file and its order:']),
    ...others.flatMap((departure) => departureLines(departure)),
    'What it rests on that nobody can work out again:',
    ...restsOn.map(({ what, from }) => `  ${resting[what]} (${entriesText(from)})`),
  ];
}

function statementLines({ n, states, about, stands, from, rules, comes: came, departures }: Statement): string[] {
  const of = about === null ? '' : ` of ${about}`;
  const source = from.length === 0 ? '' : `, ${entriesText(from)}`;
  return [
    `  entry ${n}: ${states}${of}: ${stands}; ${how[states]}${source}, rules ${rules}: ${comes[came]}`,
    ...departures.flatMap(departureLines),
  ];
}

function departureLines({ line, code, what, stands, due }: Departure): string[] {
  const compared = due === undefined ? [] : [`      stands: ${shown(stands)}`, `      should be: ${shown(due)}`];
  return [`    line ${line}: ${what} (${code})`, ...compared];
}

function shown(value: unknown): string {
  return typeof value === 'string' ? value : JSON.stringify(value);
}

/** Numbers in a row are told by the first and the last. */
function entriesText(numbers: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const n of numbers) {
    const last = runs.at(-1);
    if (last !== undefined && n === last[1] + 1) last[1] = n;
    else runs.push([n, n]);
  }
  const told = runs.map(([a, b]) => (a === b ? `${a}` : `${a}-${b}`)).join(', ');
  return `${numbers.length === 1 ? 'entry' : 'entries'} ${told}`;
}

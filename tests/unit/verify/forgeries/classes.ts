import { generateKeyPairSync } from 'node:crypto';
import { sha256 } from '../../../../src/record/chain/sha256.ts';
import { benchKeyOf } from '../../../../src/record/signing/bench-key.ts';
import { smallGuide } from '../../../support/example-guide.ts';
import { forgery, rawEntries } from '../forged.ts';
import { type Change, changesOf, type Forgery, type Kept, valueAt, withEntry } from './forgery.ts';

const attempts = ['capture', 'levels', 'presses', 'steady', 'bridge', 'observation'];
const always = (value: unknown) => () => value;
const times = (factor: number) => (now: unknown) => (typeof now === 'number' ? now * factor : 1e9);
const other = (now: unknown) => (now === 'pass' ? 'fail' : 'pass');

/** What the guide settles of an attempt. */
const asked: readonly Change[] = [
  { kinds: attempts, path: ['limits', 'max'], to: times(1e6) },
  { kinds: attempts, path: ['limits', 'min'], to: always(-1e9) },
  { kinds: attempts, path: ['rule'], to: always({ name: 'simple' }) },
  { kinds: attempts, path: ['rule', 'p'], to: always(0.5) },
  { kinds: attempts, path: ['power'], to: (now) => (now === 'on' ? 'off' : 'on') },
  { kinds: attempts, path: ['check'], to: always('unheard-of') },
  { kinds: ['presses'], path: ['count'], to: always(1) },
  { kinds: ['presses'], path: ['maxBad'], to: always(10) },
  { kinds: ['presses'], path: ['maxBounceUs'], to: always(null) },
  { kinds: ['steady'], path: ['holdMs'], to: always(1) },
  { kinds: ['steady'], path: ['maxDropOuts'], to: always(99) },
  { kinds: ['levels'], path: ['factor'], to: always(1e9) },
  { kinds: ['bridge'], path: ['collapse'], to: always(0.999) },
  { kinds: ['bridge'], path: ['durationMs'], to: always(1) },
  { kinds: ['bridge', 'observation'], path: ['question'], to: always('Is it there?') },
  { kinds: ['observation'], path: ['passAnswer'], to: (now) => (now === 'yes' ? 'no' : 'yes') },
  { kinds: ['caution'], path: ['text'], to: always('Nothing to fear.') },
  { kinds: ['caution'], path: ['id'], to: always('unheard-of') },
  { kinds: ['repair'], path: ['repair'], to: always('unheard-of') },
];

const proofs: readonly Change[] = [
  { kinds: ['proof'], path: ['expected'], to: always({ min: -1e12, max: 1e12 }) },
  { kinds: ['proof'], path: ['rule'], to: always({ name: 'simple' }) },
  { kinds: ['proof'], path: ['what'], to: (now) => (now === 'shorted-tips' ? 'check-resistor' : 'shorted-tips') },
  { kinds: ['proof'], path: ['outcome'], to: other },
];

const calibrations: readonly Change[] = [
  { kinds: ['probe'], path: ['calibration', 'source'], to: always('file') },
  { kinds: ['probe'], path: ['calibration', 'source'], to: always('probe') },
  { kinds: ['probe'], path: ['calibration', 'id'], to: always('probe 7 2031-05-17') },
  { kinds: ['probe'], path: ['calibration', 'uLeadOhm'], to: always(1e-9) },
  { kinds: ['probe'], path: ['calibration', 'probeSerial'], to: always(7) },
  { kinds: ['probe'], path: ['calibration', 'ranges', 0, 'rsOhm'], to: times(2) },
  { kinds: ['probe'], path: ['calibration', 'ranges', 1, 'cov', 5], to: always(0) },
];

const outcomes: readonly Change[] = [
  { kinds: attempts, path: ['outcome'], to: other },
  { kinds: attempts, path: ['outcome'], to: always('no-contact') },
  { kinds: attempts, path: ['reading', 'value'], to: times(0.5) },
  { kinds: attempts, path: ['reading', 'u'], to: times(0.01) },
  { kinds: attempts, path: ['pInside'], to: always(0.999) },
  { kinds: ['bridge'], path: ['proven'], to: (now) => now !== true },
];

const conclusions: readonly Change[] = [
  { kinds: ['concluded'], path: ['conclusion'], to: (now) => (now === 'open' ? 'fault' : 'open') },
  { kinds: ['concluded'], path: ['decisions', 0, 'p'], to: times(0.9) },
  { kinds: ['concluded'], path: ['decisions', 0, 'id'], to: always('main') },
  { kinds: ['concluded'], path: ['decisions', 0, 'name'], to: always('another unit') },
  { kinds: ['concluded'], path: ['decisions'], to: (now) => (now as unknown[]).slice(1) },
  { kinds: ['concluded'], path: ['notTested'], to: always([]) },
  { kinds: ['concluded'], path: ['evidence'], to: always([1]) },
  { kinds: ['concluded'], path: ['plan', 'expectedPrice'], to: always(1) },
  { kinds: ['concluded'], path: ['plan', 'steps'], to: always([]) },
];

const closings: readonly Change[] = [
  { kinds: ['closed'], path: ['result'], to: (now) => (now === 'passed' ? 'failed' : 'passed') },
  { kinds: ['closed'], path: ['proofs'], to: (now) => (now === 'held' ? 'missing' : 'held') },
  { kinds: ['closed'], path: ['counts', 'failed'], to: (now) => (now === 0 ? 1 : 0) },
  { kinds: ['closed'], path: ['counts', 'passed'], to: (now) => Number(now) + 1 },
];

/** Codes that no converter gives, and codes of one touch under another. */
function codes(kept: Kept): Forgery[] {
  const entries = rawEntries(kept.bytes);
  const touched = entries.flatMap((entry, at) => (Array.isArray(codesOf(entry)) ? [{ entry, at }] : []));
  const impossible = changesOf(kept, [
    {
      kinds: ['capture', 'proof'],
      path: ['capture', 'window', 'codes'],
      to: (now) => (Array.isArray(now) ? now.map(() => 65_535) : 65_535),
    },
  ]).filter(({ what }) => touched.some(({ at }) => what.includes(`line ${at + 1}:`)));
  const copied = touched.flatMap(({ entry, at }, i) => {
    const from = touched.slice(0, i).find((one) => one.entry.kind === 'capture' && one.entry.check !== entry.check);
    if (entry.kind !== 'capture' || from === undefined) return [];
    const copy = structuredClone({ ...entry, capture: from.entry.capture, reading: from.entry.reading });
    (valueAt(copy, ['capture', 'window']) as { tUs: number }).tUs += 77_777_777;
    return [withEntry(kept, at, copy, 'codes of another check')];
  });
  return [...impossible, ...copied];
}
const codesOf = (entry: Parameters<typeof valueAt>[0]): unknown => valueAt(entry, ['capture', 'window', 'codes']);

/** The checks that the record says there are, one by one left out, renamed or of another kind. */
function checks(kept: Kept): Forgery[] {
  const [opened] = rawEntries(kept.bytes);
  const listed = valueAt(opened!, ['guide', 'checks']) as { id: string; title: string; kind: string }[];
  const put = (now: unknown, what: string): Forgery[] =>
    changesOf(kept, [{ kinds: ['opened'], path: ['guide', 'checks'], to: always(now) }]).map((one) => ({
      ...one,
      what,
    }));
  return listed.flatMap((check, at) => [
    ...put(listed.toSpliced(at, 1), `check ${check.id} left out`),
    ...put(listed.with(at, { ...check, title: 'Another' }), `check ${check.id} renamed`),
    ...put(
      listed.with(at, { ...check, kind: check.kind === 'look' ? 'resistance' : 'look' }),
      `check ${check.id} a look`,
    ),
  ]);
}

/** The guide replaced by one letter, by nothing, by another guide, each with its own digest. */
function guides(kept: Kept): Forgery[] {
  const [opened] = rawEntries(kept.bytes);
  const guide = opened!.guide as Record<string, unknown>;
  const whole = ['x', '', smallGuide].map((text) =>
    withEntry(kept, 0, { ...opened!, guide: { ...guide, text, sha256: sha256(text) } }, 'another guide'),
  );
  const named = changesOf(kept, [
    { kinds: ['opened'], path: ['guide', 'title'], to: always('Another') },
    { kinds: ['opened'], path: ['guide', 'id'], to: always('another') },
    { kinds: ['opened'], path: ['guide', 'text'], to: (now) => `${String(now)}\n# more` },
  ]);
  return [...whole, ...named];
}

const devices: readonly Change[] = [
  { kinds: ['opened'], path: ['device', 'name'], to: always('Another') },
  { kinds: ['opened'], path: ['device', 'maker'], to: always('Another') },
  { kinds: ['opened'], path: ['device', 'revision'], to: always('Z9') },
  { kinds: ['opened'], path: ['revision'], to: always({ holds: false }) },
];

/** The version of the program set to another, so that what departs is blamed on it. */
function versions(kept: Kept): Forgery[] {
  return changesOf(kept, [...asked, ...conclusions]).map((one) => ({
    ...one,
    what: `${one.what}, by another version`,
    bytes: forgery(one.bytes, (entries) =>
      entries.map((entry) => ('tool' in entry ? { ...entry, tool: 'ohmwright 9.9.9' } : entry)),
    ),
  }));
}

/** Entries put in another order, or told twice. */
function orders(kept: Kept): Forgery[] {
  const entries = rawEntries(kept.bytes).filter(({ kind }) => kind !== 'signed');
  const made = (what: string, now: typeof entries): Forgery => ({
    record: kept.name,
    what,
    bytes: forgery(kept.bytes, () => now),
  });
  const evidence = entries.flatMap((entry, at) => (attempts.includes(entry.kind) ? [at] : []));
  return [
    made('no opening', entries.slice(1)),
    made('two openings', entries.toSpliced(1, 0, entries[0]!)),
    made(
      'the probe left out',
      entries.filter(({ kind }) => kind !== 'probe'),
    ),
    made('closed in the middle', entries.toSpliced(3, 0, entries.at(-1)!)),
    made(
      'the closing proofs left out',
      entries.filter((entry) => entry.when !== 'closing'),
    ),
    ...evidence.map((at) => made(`attempt in line ${at + 1} told twice`, entries.toSpliced(at, 0, entries[at]!))),
  ];
}

/** Lines changed outside the hash of their body, and members smuggled into them. */
function lines({ name, bytes }: Kept): Forgery[] {
  const all = bytes.toString('utf8').split('\n').slice(0, -1);
  const made = (what: string, at: number, line: string): Forgery => ({
    record: name,
    what: `line ${at + 1}: ${what}`,
    bytes: Buffer.from(`${all.with(at, line).join('\n')}\n`),
  });
  return all.flatMap((line, at) => [
    made('a member more', at, line.replace(/\}$/, ',"x":1}')),
    made('an empty apart', at, line.replace(/^\{/, '{"apart":{},')),
    ...(at % 9 === 4
      ? [made('a megabyte smuggled in', at, line.replace(/\}$/, `,"x":"${'x'.repeat(1_450_000)}"}`))]
      : []),
    made('bytes behind it', at, `${line} `),
    made(
      'words apart that nobody committed to',
      at,
      line.replace(
        /^\{("apart":\{[^}]*\}+,)?/,
        '{"apart":{"name":{"salt":"00000000000000000000000000000000","text":"x"}},',
      ),
    ),
  ]);
}

const thief = benchKeyOf(generateKeyPairSync('ed25519').privateKey);

/** The signature taken away, or another's in its place, before one who knows the bench's key. */
function signatures(kept: Kept): Forgery[] {
  const signed = rawEntries(kept.bytes).find(({ kind }) => kind === 'signed');
  if (signed === undefined) return [];
  const holds = { expectedKey: String(signed.publicKey) };
  const without = forgery(kept.bytes, () => undefined);
  const ofThief = forgery(kept.bytes, (entries) => [
    ...entries,
    { ...signed, publicKey: thief.publicKey } as typeof signed,
  ]);
  const changed = changesOf(kept, [...closings, ...outcomes.slice(0, 1)]);
  return [
    { record: kept.name, what: 'signature taken away', bytes: without, holds },
    { record: kept.name, what: 'the key of another beside the same signature', bytes: ofThief, holds },
    ...changed.map((one) => ({ ...one, holds })),
  ];
}

/** The end cut off behind each entry, before one who holds the label of the whole. */
function ends({ name, bytes }: Kept): Forgery[] {
  const all = bytes.toString('utf8').split('\n').slice(0, -1);
  const last = JSON.parse(all.at(-1)!) as { sha256: string };
  const { job } = rawEntries(bytes)[0]!;
  const label = { job: String(job), sha256: last.sha256, entries: all.length };
  return all.slice(1).map((_, at) => ({
    record: name,
    what: `cut off behind line ${at + 1}`,
    bytes: Buffer.from(`${all.slice(0, at + 1).join('\n')}\n`),
    holds: { label },
  }));
}

/** Each class of forgery, with every forgery of it that a kept record gives. */
export const classes: Readonly<Record<string, (kept: Kept) => Forgery[]>> = {
  'checks of the opening': checks,
  'guide replaced': guides,
  'device or revision': (kept) => changesOf(kept, devices),
  'what the guide asks for': (kept) => changesOf(kept, asked),
  'the same, by another version': versions,
  'bounds and outcomes of proofs': (kept) => changesOf(kept, proofs),
  'calibration relabelled': (kept) => changesOf(kept, calibrations),
  'outcome or reading': (kept) => changesOf(kept, outcomes),
  'raw codes': codes,
  conclusion: (kept) => changesOf(kept, conclusions),
  'result and counts': (kept) => changesOf(kept, closings),
  'order of entries': orders,
  'lines outside their hash': lines,
  'signature, by one who knows the key': signatures,
  'end cut off, by one who holds the label': ends,
};

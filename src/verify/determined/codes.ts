import { fullScaleCode } from '../../measure/reading/nominal.ts';
import type { CaptureWindow } from '../../measure/types.ts';
import { flagBits } from '../../protocol/table.ts';
import type { RecordLine } from '../../record/chain/parse-record.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { windowsIn } from '../../record/kinds/stored-kinds.ts';
import type { Say } from '../finding.ts';

/**
 * Tells where an entry holds codes that no converter gives, or codes of volts for ohms and the
 * other way round.
 */
export function verifyCodes(entry: Entry, say: Say): void {
  const impossible = windowsIn(entry).flatMap(({ window: { codes } }) => codes.filter((code) => code > fullScaleCode));
  const hold = entry.kind === 'steady' ? (entry.hold?.buckets ?? []) : [];
  impossible.push(...hold.flatMap(({ max }) => (max > fullScaleCode ? max : [])));
  if (impossible[0] !== undefined)
    say('evidence.code', `it holds the code ${impossible[0]}, and none can be above ${fullScaleCode}`);
  const quantity = entry.kind === 'capture' ? entry.quantity : entry.kind === 'presses' ? 'resistance' : null;
  if (quantity === null) return;
  const isVolt = ({ flagBits: bits }: CaptureWindow): boolean => (bits & flagBits.voltage) !== 0;
  if (windowsIn(entry).some(({ window }) => isVolt(window) !== (quantity === 'voltage')))
    say('evidence.mode', `the codes are not of a ${quantity}`);
}

/**
 * So many bits of noise in a window are not met twice by chance, however many windows a bench ever
 * takes.
 */
const bitsOfIdentity = 40;

/**
 * Tells where a window of raw codes stands in two entries of different checks: noise does not
 * repeat itself. A window without noise (an open path at the converter's end) may well be met
 * twice; it counts only where its time is the same too.
 */
export function verifyCopies(lines: readonly RecordLine[], sayAt: (line: RecordLine) => Say): void {
  const seen = new Map<string, { n: number; about: string; tUs: number }>();
  for (const line of lines) {
    const about = aboutOf(line.entry);
    for (const { window } of windowsIn(line.entry)) {
      const { codes, tUs, range, level } = window;
      const key = `${range} ${level} ${codes.join(',')}`;
      const before = seen.get(key);
      if (before === undefined) seen.set(key, { n: line.entry.n, about, tUs });
      else if (before.about !== about && (before.tUs === tUs || noiseBits(codes) >= bitsOfIdentity)) {
        sayAt(line)('evidence.copied', `the codes of ${about} are those of ${before.about} in entry ${before.n}`);
      }
    }
  }
}

/** What a window was taken for: codes of one touch never serve another. */
function aboutOf(entry: Entry): string {
  if (entry.kind === 'proof') return `the proof ${entry.what}`;
  return 'check' in entry && entry.check !== null ? entry.check : entry.kind;
}

/**
 * Shannon's information in codes, as if each were drawn by itself from those that came up, in bits.
 */
function noiseBits(codes: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const code of codes) counts.set(code, (counts.get(code) ?? 0) + 1);
  return [...counts.values()].reduce((bits, n) => bits - n * Math.log2(n / codes.length), 0);
}

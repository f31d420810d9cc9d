import { formatLimits } from '../../measure/reading/format.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import type { ProofKind } from '../../record/entries/entries.ts';
import { shownValue } from '../../view/words/reading.ts';
import type { ReportData } from '../report-data.ts';
import { Fact } from './fact.tsx';
import { OutcomeWord } from './outcome.tsx';

/**
 * Readers of a page want the first of many departures, not all: a file that is no record at all has
 * one a line.
 */
const shownDepartures = 50;

/** What the readings were taken with. */
export function Calibrations({ data }: { data: ReportData }) {
  const probes = data.entries.filter((entry) => entry.kind === 'probe');
  return (
    <>
      <h2>Probe and calibration</h2>
      {probes.map(({ n, identity, calibration, calibrationState }) => (
        <dl className="facts" key={n}>
          <Fact name="Probe" value={serialText(identity.probeSerial)} />
          <Fact name="Firmware" value={`${identity.fwMajor}.${identity.fwMinor}`} />
          <Fact name="Calibration" value={calibration.id} />
          <Fact name="State" value={calibrationState} />
          <Fact name="Made" value={calibration.dateIso ?? 'never'} />
          <Fact
            name="Valid"
            value={calibration.validDays === null ? 'no end stated' : `${calibration.validDays} days`}
          />
        </dl>
      ))}
    </>
  );
}

/**
 * What the probe read of its own parts before and after, against what was expected: the health of
 * this job's readings.
 */
export function ProofTable({ data: { state, entries } }: { data: ReportData }) {
  const proofs = entries.filter((entry) => entry.kind === 'proof');
  return (
    <>
      <h2>Proofs of the probe</h2>
      <p>
        {proofStandings[state.proofs.standing]}{' '}
        <span className="soft">
          <code>ohmwright health</code> charts them over all jobs.
        </span>
      </p>
      {proofs.length > 0 && (
        <div className="wide">
          <table>
            <thead>
              <tr>
                <th scope="col">Entry</th>
                <th scope="col">Proof</th>
                <th scope="col">Outcome</th>
                <th scope="col">Read</th>
                <th scope="col">Expected</th>
                <th scope="col">Probe</th>
              </tr>
            </thead>
            <tbody>
              {proofs.map(({ n, when, what, outcome, reading, expected, capture }) => (
                <tr key={n}>
                  <td className="number">{n}</td>
                  <th scope="row">
                    {when}, {proofNames[what]}
                  </th>
                  <td>
                    <OutcomeWord outcome={outcome} />
                  </td>
                  <td className="number">{reading === null ? 'nothing' : shownValue(reading, 'resistance').text}</td>
                  <td className="number">{formatLimits({ quantity: 'resistance', ...expected })}</td>
                  <td>{capture === null ? '' : serialText(capture.probeSerial)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </>
  );
}

const proofStandings = {
  held: 'All proofs that are due were done, and held.',
  failed: 'A proof did not hold: what was read since the proof before it is not to be relied on.',
  missing: 'Proofs that are due were not done: nothing shows that the probe was still right.',
} as const;

const proofNames: Record<ProofKind, string> = {
  'shorted-tips': 'tips held together',
  'check-resistor': 'built-in resistor',
};

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

function signatureWords({ verified: { ok, signature } }: ReportData): string {
  switch (signature.state) {
    case 'none':
      return 'none';
    case 'holds':
    case 'other-key':
      return `${ok ? 'holds' : 'fits the closing entry, but the record does not verify'}, key ${signature.fingerprint}`;
    case 'broken':
      return 'does NOT hold';
  }
}

/** How anybody works the record out again, and whether that came out when the page was made. */
export function HowToCheck({ data }: { data: ReportData }) {
  const { verified } = data;
  return (
    <>
      <h2>How to check this record</h2>
      <dl className="facts">
        <Fact name="Digest of its end" value={verified.lastSha256 ?? 'none'} />
        <Fact name="Entries" value={String(verified.entries)} />
        <Fact
          name="When this page was made"
          value={verified.ok ? 'it verified' : `it did NOT verify: ${counted(verified.departures.length, 'departure')}`}
        />
        <Fact name="Signature" value={signatureWords(data)} />
      </dl>
      <ul>
        {verified.departures.slice(0, shownDepartures).map(({ line, code, what }) => (
          <li key={`${line} ${code} ${what}`} className="tone-bad">
            line {line}: {what} ({code})
          </li>
        ))}
        {verified.departures.length > shownDepartures && (
          <li className="tone-bad">
            and {verified.departures.length - shownDepartures} more; <code>ohmwright verify</code> lists them
          </li>
        )}
        {verified.notes.map(({ line, code, what }) => (
          <li key={`${line} ${code} ${what}`}>
            line {line}: {what}
          </li>
        ))}
      </ul>
      <p>
        This page shows a record, it is not the record. <code>ohmwright verify FILE</code> works every outcome out again
        from the raw codes in the record's file, under the calibration, limits and rule that stand beside them, and
        checks that no byte of it was changed. The signature shows which key closed the record; that the key is this
        bench's, you learn from the bench by another way.
      </p>
    </>
  );
}

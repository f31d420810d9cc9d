import { curvesOf } from '../curves.ts';
import { entryLine } from '../entry-line.ts';
import type { ReportData } from '../report-data.ts';
import { CurvePicture } from './curve-picture.tsx';
import { PressPicture } from './press-picture.tsx';

/** What a colleague wants: each attempt, traces, calibration, the probe's proofs, and the raw digest. */
export function ColleaguePart({ data }: { data: ReportData }) {
  const { entries, verified } = data;
  const presses = entries.filter((entry) => entry.kind === 'presses');
  const curves = curvesOf(entries);
  return (
    <section className="for-colleague">
      <h2>Every entry of the record</h2>
      <div className="wide">
        <table>
          <thead>
            <tr>
              <th scope="col">No.</th>
              <th scope="col">Time (UTC)</th>
              <th scope="col">Entry</th>
            </tr>
          </thead>
          <tbody>
            {entries.map((entry) => (
              <tr key={entry.n}>
                <td className="number">{entry.n}</td>
                <td className="number">{entry.at.slice(0, 19).replace('T', ' ')}</td>
                <td>{entryLine(entry) ?? <span className="soft">{entry.kind}</span>}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Calibrations data={data} />
      {presses.length > 0 && <h2>Key presses</h2>}
      <div className="pictures">
        {presses.map((entry) => (
          <PressPicture key={entry.n} entry={entry} />
        ))}
      </div>
      {curves.length > 0 && <h2>Captured traces</h2>}
      <div className="pictures">
        {curves.map((curve) => (
          <CurvePicture key={curve.label} curve={curve} />
        ))}
      </div>
      <h2>How to check this record</h2>
      <dl className="facts">
        <Fact name="Digest of its end" value={verified.lastSha256 ?? 'none'} />
        <Fact name="Entries" value={String(verified.entries)} />
        <Fact
          name="When this page was made"
          value={verified.ok ? 'it verified' : `it did NOT verify: ${verified.departures.length} departures`}
        />
        <Fact name="Signature" value={signatureWords(data)} />
      </dl>
      <ul>
        {verified.departures.map(({ line, code, what }) => (
          <li key={`${line} ${code} ${what}`} className="tone-bad">
            line {line}: {what} ({code})
          </li>
        ))}
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
    </section>
  );
}

function Calibrations({ data }: { data: ReportData }) {
  const probes = data.entries.filter((entry) => entry.kind === 'probe');
  return (
    <>
      <h2>Probe and calibration</h2>
      {probes.map(({ n, identity, calibration, calibrationState }) => (
        <dl className="facts" key={n}>
          <Fact name="Probe" value={identity.probeSerial.toString(16)} />
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

export function Fact({ name, value }: { name: string; value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}

function signatureWords({ verified: { signature } }: ReportData): string {
  switch (signature.state) {
    case 'none':
      return 'none';
    case 'holds':
    case 'other-key':
      return `holds, key ${signature.fingerprint}`;
    case 'broken':
      return 'does NOT hold';
  }
}

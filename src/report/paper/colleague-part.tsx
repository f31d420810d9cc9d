import type { LocalClock } from '../../ports/local-clock.ts';
import { utcClock } from '../../view/text/clock-time.ts';
import { entryLine } from '../../view/words/entry.ts';
import { linkLine } from '../../view/words/link.ts';
import { curvesOf } from '../pictures/curves.ts';
import type { ReportData } from '../report-data.ts';
import { CurvePicture } from './drawn/curve-picture.tsx';
import { PressPicture } from './drawn/press-picture.tsx';
import { Calibrations, HowToCheck, ProofTable } from './proof-parts.tsx';

/**
 * What a colleague wants: each attempt, traces, calibration, the probe's proofs, and the raw
 * digest.
 */
export function ColleaguePart({ data, clock = utcClock }: { data: ReportData; clock?: LocalClock | undefined }) {
  const { entries } = data;
  const presses = entries.filter((entry) => entry.kind === 'presses');
  const curves = curvesOf(entries);
  const firstRepair = entries.find(({ kind }) => kind === 'repair')?.n ?? Number.POSITIVE_INFINITY;
  return (
    <section className="for-colleague">
      <h2>Every entry of the record</h2>
      <div className="wide">
        <table>
          <thead>
            <tr>
              <th scope="col">No.</th>
              <th scope="col">Time ({clock.zone})</th>
              <th scope="col">Entry</th>
            </tr>
          </thead>
          <tbody>
            {entries.map((entry) => (
              <tr key={entry.n}>
                <td className="number">{entry.n}</td>
                <td className="number">{clock.time(entry.at)}</td>
                <td>
                  {entry.kind === 'link' ? linkLine(entry) : (entryLine(entry, firstRepair < entry.n) ?? entry.kind)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Calibrations data={data} />
      <ProofTable data={data} />
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
      <HowToCheck data={data} />
    </section>
  );
}

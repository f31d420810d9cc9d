import type { CheckLine, ReportData, ReportedOutcome } from '../report-data.ts';
import { BeliefPicture } from './drawn/belief-picture.tsx';
import { LimitPicture } from './drawn/limit-picture.tsx';
import { PathPicture } from './drawn/path-picture.tsx';
import { OutcomeWord } from './outcome.tsx';
import { Calibrations, HowToCheck, ProofTable } from './proof-parts.tsx';

/**
 * What a supplier wants: readings with limits and uncertainty, before beside after. On a paper of
 * its own it also has to say what they were taken with, and how they are checked.
 */
export function SupplierPart({ data, isAlone }: { data: ReportData; isAlone: boolean }) {
  const { hasAfter, path, short } = data;
  const checks = data.checks.filter(
    ({ before, after, open }) => before !== null || after !== null || open !== 'not done',
  );
  const notDone = data.checks.filter((check) => !checks.includes(check));
  return (
    <section className="for-supplier">
      <h2>Where the fault is, and why</h2>
      <PathPicture parts={path} />
      <BeliefPicture beliefs={data.beliefs} />
      <ul>
        {short.why.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <h2>Readings</h2>
      <p className="soft">
        Each reading with its expanded uncertainty for 95 % coverage. In the pictures: the band is what the limits
        allow, a hollow dot a reading {hasAfter ? 'before the repair, a full dot one after it' : 'as it stands'}, the
        line through it its 95 % interval; an arrow at the end is a reading beyond the range. Ohms on a logarithmic
        scale.
      </p>
      <div className="wide">
        <table>
          <thead>
            <tr>
              <th scope="col">Check</th>
              <th scope="col">Limits</th>
              <th scope="col">{hasAfter ? 'Before' : 'Reading'}</th>
              {hasAfter && <th scope="col">After</th>}
              <th scope="col">Picture</th>
            </tr>
          </thead>
          <tbody>
            {checks.map((check) => (
              <CheckRow key={check.id} check={check} hasAfter={hasAfter} />
            ))}
          </tbody>
        </table>
      </div>
      {notDone.length > 0 && (
        <>
          <h3>Not done</h3>
          <ul className="columns">
            {notDone.map(({ id, title, pads }) => (
              <li key={id}>
                {title} {pads !== '' && <span className="soft">({pads})</span>}
              </li>
            ))}
          </ul>
        </>
      )}
      {isAlone && (
        <>
          <Calibrations data={data} />
          <ProofTable data={data} />
          <HowToCheck data={data} />
        </>
      )}
    </section>
  );
}

function CheckRow({ check, hasAfter }: { check: CheckLine; hasAfter: boolean }) {
  return (
    <tr>
      <th scope="row">
        {check.title}
        {check.pads !== '' && <div className="soft">{check.pads}</div>}
        {check.open !== null && check.open !== 'not done' && <div className="tone-open">{check.open}</div>}
        {check.doubtful && <div className="tone-open">rests on a proof that did not hold: not to be relied on</div>}
      </th>
      <td className="number">{check.limitsText}</td>
      <StandingCell standing={check.before} />
      {hasAfter && <StandingCell standing={check.after} />}
      <td className="picture">
        <LimitPicture check={check} />
      </td>
    </tr>
  );
}

function StandingCell({ standing }: { standing: ReportedOutcome | null }) {
  if (standing === null) return <td className="soft">not done</td>;
  return (
    <td>
      <OutcomeWord outcome={standing.outcome} />
      <div className="number">{standing.shown?.text ?? standing.why}</div>
    </td>
  );
}

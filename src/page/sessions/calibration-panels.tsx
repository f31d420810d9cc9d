import { renderToStaticMarkup } from 'react-dom/server';
import type { CalibrationView } from '../../view/calibration/calibration-view.ts';
import { marks } from '../../view/words/mark.ts';
import { HeadlinePart } from '../parts/reading-part.tsx';
import type { PanelPlace } from '../serve/page-shell.tsx';
import type { Panels } from '../serve/viewers.ts';

/** The panels of a calibration session, in the order in which they are read. */
export const calibrationPlaces: readonly PanelPlace[] = [
  { id: 'top', label: 'Probe' },
  { id: 'said', label: 'Now', role: 'told' },
  { id: 'ask', label: 'What to do now' },
  { id: 'reading', label: 'How far it is' },
  { id: 'wide', label: 'Ranges' },
  { id: 'checks', label: 'Standards' },
];

/** Returns the markup of each panel of a calibration session. */
export function calibrationPanels(view: CalibrationView): Panels {
  const { title, probe, headline, action, progress, message, rows, standards, taken, next, before } = view;
  return {
    top: renderToStaticMarkup(
      <>
        <strong>{title}</strong>{' '}
        <span className="link soft">{[probe, before].filter((one) => one !== '').join(', ')}</span>
      </>,
    ),
    said: renderToStaticMarkup([headline.word, headline.text, action].filter((one) => one !== '').join('. ')),
    ask: renderToStaticMarkup(
      <>
        <p className="action">{action}</p>
        {message !== null && <p className={`tone-${message.tone}`}>{message.text}</p>}
        {next !== '' && <p className="soft">{next}</p>}
      </>,
    ),
    reading: renderToStaticMarkup(
      <>
        <HeadlinePart headline={headline} />
        {progress !== null && (
          <>
            <progress max={1} value={progress.share} aria-label="settling" />
            <p className="soft">{`${progress.done} of ${progress.of}`}</p>
          </>
        )}
      </>,
    ),
    wide: renderToStaticMarkup(<Ranges rows={rows} />),
    checks: renderToStaticMarkup(
      <>
        <h2>{taken}</h2>
        <ul className="checks">
          {standards.map(({ label, mark, tone }) => (
            <li key={label} className={mark === 'now' ? 'now' : undefined}>
              <span className={`tone-${tone}`} aria-hidden="true">
                {marks[mark].unicode}
              </span>{' '}
              {label}
            </li>
          ))}
        </ul>
      </>,
    ),
  };
}

function Ranges({ rows }: Pick<CalibrationView, 'rows'>) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Range</th>
          <th scope="col">Points</th>
          <th scope="col">Source</th>
          <th scope="col">P</th>
          <th scope="col">Fit</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ name, points, source, probability, mark, tone, verdict }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{points}</td>
            <td>{source}</td>
            <td>{probability}</td>
            <td className={`tone-${tone}`}>
              {marks[mark].unicode} {verdict}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

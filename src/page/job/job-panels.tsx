import type { ReactNode } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import type { Guide } from '../../guide/types.ts';
import type { Diagram } from '../../picture/lay-out.ts';
import type { Photo } from '../../picture/photo.ts';
import { TipMark } from '../../picture/tip-mark.tsx';
import { percent } from '../../statistics/percent.ts';
import type { CheckRow } from '../../view/job/check-rows.ts';
import type { JobView } from '../../view/job/job-view.ts';
import { marks } from '../../view/words/mark.ts';
import { outcomeWords } from '../../view/words/outcome.ts';
import { HeadlinePart, ReadingPart } from '../parts/reading-part.tsx';
import type { PanelPlace } from '../serve/page-shell.tsx';
import type { Panels } from '../serve/viewers.ts';
import { PicturePanel } from './picture-panel.tsx';

/** The panels of a job, in the order in which they are read. */
export const jobPlaces: readonly PanelPlace[] = [
  { id: 'top', label: 'Job and link' },
  { id: 'said', label: 'Now', role: 'told' },
  { id: 'first', label: 'To be done first' },
  { id: 'ask', label: 'What to do now' },
  { id: 'picture', label: 'Where to touch' },
  { id: 'reading', label: 'Reading' },
  { id: 'answer', label: 'What was found' },
  { id: 'suspects', label: 'What is likely' },
  { id: 'checks', label: 'Checks' },
  { id: 'cautions', label: 'Cautions in force' },
];

/** What stays the same while a job is shown. */
export interface JobPage {
  guide: Guide;
  /** Null: the circuit is too large to be drawn. */
  diagram: Diagram | null;
  /** Pictures of the guide that can be shown. */
  photos: readonly Photo[];
  /** Those that can't be shown, each with why. */
  lacking: readonly { id: string; why: string }[];
}

/** Returns the markup of each panel of a job. */
export function jobPanels(view: JobView, page: JobPage): Panels {
  const nodes: Record<(typeof jobPlaces)[number]['id'], ReactNode> = {
    top: <Top view={view} />,
    said: saidOf(view),
    first: <First view={view} />,
    ask: <AskPanel view={view} />,
    picture: <PicturePanel view={view} page={page} />,
    reading: <Read view={view} />,
    answer: <Answer view={view} />,
    suspects: <Suspects view={view} />,
    checks: <Checks view={view} />,
    cautions: <Cautions view={view} />,
  };
  return Object.fromEntries(Object.entries(nodes).map(([id, node]) => [id, renderToStaticMarkup(node)]));
}

/** What a screen reader says: what the tone says. */
function saidOf({ headline, ask }: JobView): string {
  if (headline !== null) return `${headline.word}. ${headline.text}`;
  if (ask === null) return '';
  return [ask.title, ask.action, ...ask.pads.map(({ tip, pad, where }) => `Tip ${tip}: ${pad}, ${where}`)].join('. ');
}

function Top({ view: { job, link } }: { view: JobView }) {
  const names = [`${job.device}${job.revision === '' ? '' : `, revision ${job.revision}`}`, job.ticket, job.serial];
  return (
    <>
      <strong>{names.filter((one) => one !== '').join(' \u00b7 ')}</strong>
      {job.symptom !== '' && <span className="soft"> {job.symptom}</span>}
      <span className={link.ok ? 'link soft' : 'link tone-danger'}>
        {' '}
        {[link.line, link.calibration].filter((one) => one !== '').join(', ')}
      </span>
    </>
  );
}

/** What has to be done before anything is touched, as large as the pads. */
function First({ view: { ask, headline } }: { view: JobView }) {
  if (ask === null || headline !== null) return null;
  const { power, access } = ask;
  return (
    <>
      {power?.change === true && <p>Power {power.to}</p>}
      {access?.change === true && <p>{access.name}</p>}
    </>
  );
}

function AskPanel({ view: { ask, because } }: { view: JobView }) {
  if (ask === null) return null;
  const { title, action, pads, power, access, how, retry, presses } = ask;
  const state = [
    power !== null && !power.change ? `power ${power.to}` : '',
    access?.change === false ? access.name : '',
  ];
  return (
    <>
      <h2>
        {title}
        {retry !== null && <span className="soft"> try {`${retry.n} of ${retry.of}`}</span>}
      </h2>
      <p className="action">
        {action}
        {presses !== null && ` ${presses.done} of ${presses.of}`}
      </p>
      {pads.map(({ tip, pad, where }) => (
        <p key={tip} className="where">
          <svg className="tip-mark" viewBox="0 0 28 28" aria-hidden="true">
            <TipMark tip={tip} x={14} y={14} />
          </svg>
          <span>
            <b>{pad}</b> {where}
          </span>
        </p>
      ))}
      {how !== '' && <p>{how}</p>}
      <p className="soft">{state.filter((one) => one !== '').join(', ')}</p>
      {because !== null && <p className="soft">Because {because}.</p>}
    </>
  );
}

function Read({ view: { headline, reading, contact, scale, phase } }: { view: JobView }) {
  return (
    <>
      <HeadlinePart headline={headline} />
      {phase !== 'closed' && (
        <ReadingPart reading={reading} contact={contact} scale={scale?.scale ?? null} needle={scale?.needle ?? null} />
      )}
    </>
  );
}

/** What was found, what to do, what it costs: while it is asked, and when the job is over. */
function Answer({ view: { conclusion, answer, concluded, doubt } }: { view: JobView }) {
  if (conclusion === null && answer.length === 0) {
    if (concluded !== null) return <p>{concluded}</p>;
    return doubt === null ? null : <p className="tone-doubt">In doubt: {doubt}</p>;
  }
  if (conclusion === null) {
    return (
      <>
        {answer.map((line) => (
          <p key={line} className="found">
            {line}
          </p>
        ))}
      </>
    );
  }
  const { word, saying, reasons, repairs, beyond, cost, doubt: why } = conclusion;
  return (
    <>
      <p className="headline">{word}</p>
      <p className="found">{saying}</p>
      {why !== null && <p className="tone-doubt">In doubt: {why}</p>}
      {beyond !== null && <p>To tell them apart: {beyond}</p>}
      <ul>
        {reasons.map((reason) => (
          <li key={reason}>{reason}</li>
        ))}
      </ul>
      {repairs.length > 0 && (
        <ol>
          {repairs.map(({ repair, name, chance, price, minutes }) => (
            <li key={repair}>
              <b>{name}</b> ({chance} that it helps; {price}, {minutes})
            </li>
          ))}
        </ol>
      )}
      {cost.map((line) => (
        <p key={line} className="soft">
          {line}
        </p>
      ))}
    </>
  );
}

function Suspects({ view: { suspects, next } }: { view: JobView }) {
  if (suspects.length === 0) return null;
  return (
    <>
      <h2>What is likely</h2>
      <ul className="suspects">
        {suspects.map(({ text, share }) => (
          <li key={text}>
            <span>{text}</span> <b>{percent(share)}</b>
            <progress max={1} value={share} aria-hidden="true" />
          </li>
        ))}
      </ul>
      {next !== null && (
        <p className="soft">
          Next: {next.check}, because {next.why}.
        </p>
      )}
    </>
  );
}

/** What was done stands open; what was not is folded away, for it is often long. */
function Checks({ view: { checks } }: { view: JobView }) {
  const left = checks.filter(({ outcome, current }) => outcome === null && !current);
  const seen = checks.filter((row) => !left.includes(row));
  return (
    <>
      <h2>Checks</h2>
      <ul className="checks">
        {seen.map((row) => (
          <Row key={row.id} row={row} />
        ))}
      </ul>
      {left.length > 0 && (
        <details>
          <summary>{left.length} not done</summary>
          <ul className="checks">
            {left.map((row) => (
              <Row key={row.id} row={row} />
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function Row({ row: { title, outcome, current, reading } }: { row: CheckRow }) {
  const { mark, word, tone } = outcome === null ? notDone : outcomeWords[outcome];
  return (
    <li className={current ? 'now' : undefined}>
      <span className={`tone-${tone}`} aria-hidden="true">
        {marks[current ? 'now' : mark].unicode}
      </span>{' '}
      {title} <span className="soft">{[word, reading].filter((one) => one !== '').join(', ')}</span>
    </li>
  );
}

const notDone = { mark: 'none', word: '', tone: 'quiet' } as const;

function Cautions({ view: { cautions, question } }: { view: JobView }) {
  const asked = question?.kind === 'caution' ? question : null;
  return (
    <>
      {asked !== null && <p className="found">{asked.text}</p>}
      {cautions.map(({ id, title, text }) => (
        <details key={id} open={asked === null && cautions.length === 1}>
          <summary>
            {marks.caution.unicode} {title}
          </summary>
          <p>{text}</p>
        </details>
      ))}
    </>
  );
}

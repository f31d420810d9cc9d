import { renderToStaticMarkup } from 'react-dom/server';
import type { MeterView } from '../../view/meter/meter-view.ts';
import { marks } from '../../view/words/mark.ts';
import { orders } from '../../view/words/prompt.ts';
import { HeadlinePart, ReadingPart } from '../parts/reading-part.tsx';
import type { PanelPlace } from '../serve/page-shell.tsx';
import type { Panels } from '../serve/viewers.ts';

/** The panels of the meter, in the order in which they are read. */
export const meterPlaces: readonly PanelPlace[] = [
  { id: 'top', label: 'Link' },
  { id: 'said', label: 'Now', role: 'told' },
  { id: 'wide', label: 'Reading' },
  { id: 'checks', label: 'Since the beginning' },
];

/** Returns the markup of each panel of the meter. */
export function meterPanels(view: MeterView): Panels {
  const { title, link, live, statistics, reading, contact, scale, needle } = view;
  const headline = live ? ({ word: 'LIVE', mark: 'live', tone: 'danger', text: orders.live } as const) : null;
  return {
    top: renderToStaticMarkup(
      <>
        <strong>{title}</strong> <span className={link.ok ? 'link soft' : 'link tone-danger'}>{link.text}</span>
      </>,
    ),
    said: renderToStaticMarkup(headline === null ? contact.text : `${headline.word}. ${headline.text}`),
    wide: renderToStaticMarkup(
      <>
        <HeadlinePart headline={headline} />
        <ReadingPart reading={reading} contact={contact} scale={scale} needle={needle} />
        {reading.held && <p className="soft">{marks.now.unicode} held</p>}
      </>,
    ),
    checks: renderToStaticMarkup(
      <dl className="facts">
        {statistics.map(({ label, text }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>,
    ),
  };
}

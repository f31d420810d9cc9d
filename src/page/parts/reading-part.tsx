import type { ContactView } from '../../view/job/contact.ts';
import type { Headline } from '../../view/job/headline.ts';
import type { Needle, Scale } from '../../view/readings/scale.ts';
import { marks } from '../../view/words/mark.ts';
import type { ReadingParts } from '../../view/words/reading.ts';
import { ScalePicture } from './scale-picture.tsx';

/** One word that is seen from two metres, and its sentence. */
export function HeadlinePart({ headline }: { headline: Headline | null }) {
  if (headline === null) return null;
  const { word, mark, tone, text } = headline;
  return (
    <>
      <p className={`headline tone-${tone}`}>
        {mark === null ? '' : `${marks[mark].unicode} `}
        {word}
      </p>
      {text !== '' && <p>{text}</p>}
    </>
  );
}

/** What the tips read: the number, its uncertainty, where it stands. */
export function ReadingPart({ reading, contact, scale, needle }: ReadingPartProps) {
  return (
    <>
      <p className="number">
        {reading.number} <small>{reading.unit}</small>
      </p>
      <p className="soft">{[reading.beside, contact.text].filter((one) => one !== '').join(', ')}</p>
      {contact.settling && <progress max={1} value={contact.progress} aria-label="settling" />}
      {scale !== null && <ScalePicture scale={scale} needle={needle} />}
    </>
  );
}

interface ReadingPartProps {
  reading: ReadingParts;
  contact: ContactView;
  scale: Scale | null;
  needle: Needle | null;
}

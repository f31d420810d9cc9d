import { DiagramPicture } from '../../picture/diagram-picture.tsx';
import { photosOfFault, photosOfTips } from '../../picture/photo.ts';
import { PhotoPicture } from '../../picture/photo-picture.tsx';
import type { JobView } from '../../view/job/job-view.ts';
import type { JobPage } from './job-panels.tsx';

/** Where to touch, or where the fault is: on the guide's pictures, else on the drawing of its circuit. */
export function PicturePanel({ view, page }: { view: JobView; page: JobPage }) {
  const { guide, photos, lacking } = page;
  const asked = view.ask?.pads ?? [];
  const touched = asked.length === 0 ? [] : (photosOfTips(guide, photos, asked) ?? []);
  const faulty = asked.length === 0 ? photosOfFault(guide, photos, view.foundAt) : [];
  const all = [...touched, ...faulty];
  return (
    <>
      {lacking.map(({ id, why }) => (
        <p key={id} className="tone-doubt">
          The picture {id} is not shown: {why}.
        </p>
      ))}
      {all.length > 0 ? (
        <div className="photos">
          {all.map((one) => (
            <figure key={one.photo.id}>
              <PhotoPicture {...one} />
              <figcaption className="soft">{one.photo.shows}</figcaption>
            </figure>
          ))}
        </div>
      ) : (
        <Drawing view={view} page={page} />
      )}
    </>
  );
}

function Drawing({ view, page: { guide, diagram } }: { view: JobView; page: JobPage }) {
  if (diagram === null) return <p className="soft">This circuit is too large to be drawn.</p>;
  const tips = (view.ask?.pads ?? []).flatMap(({ tip, pad }) => {
    const node = guide.pads.find(({ id }) => id === pad)?.node;
    return node === undefined ? [] : [{ tip, node }];
  });
  const spoken = view.ask?.pads.map(({ tip, pad }) => `tip ${tip} on ${pad}`).join(', ') ?? '';
  return (
    <DiagramPicture
      diagram={diagram}
      pointed={{ tips, faultAt: tips.length === 0 ? view.foundAt : [] }}
      title={spoken === '' ? 'Drawing of the device' : `Drawing of the device: ${spoken}`}
    />
  );
}

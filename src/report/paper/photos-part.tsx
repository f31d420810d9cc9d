import type { EvidencePhoto } from './evidence-photo.ts';

/** Photos that were taken at checks, each with what is seen on it. */
export function PhotosPart({ photos }: { photos: readonly EvidencePhoto[] }) {
  if (photos.length === 0) return null;
  return (
    <section className="taken">
      <h2>Photos taken at the bench</h2>
      {photos.map(({ n, title, shows, href, lacking }) => (
        <figure key={n}>
          {href === null ? (
            <p className="warning">This photo can&rsquo;t be shown: {lacking}.</p>
          ) : (
            <img src={href} alt={`${title}: ${shows === '' ? 'photo' : shows}`} />
          )}
          <figcaption>
            {title}
            {shows === '' ? '' : `: ${shows}`} (entry {n})
          </figcaption>
        </figure>
      ))}
    </section>
  );
}

import { renderToStaticMarkup } from 'react-dom/server';

/** A panel of the page: its place, and what a screen reader says of it. */
export interface PanelPlace {
  id: string;
  label: string;
  /** `told`: read aloud as soon as it changes (a live region of WAI-ARIA). */
  role?: 'told';
}

/** Returns the whole page with an empty place for each panel; the server adds one for the next code. */
export function pageShell(title: string, places: readonly PanelPlace[]): string {
  return `<!doctype html>\n${renderToStaticMarkup(
    <html lang="en">
      <head>
        <meta charSet="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>{title}</title>
        <link rel="stylesheet" href="/page.css" />
      </head>
      <body data-bench="away">
        <p className="away" role="alert">
          The bench does not answer. What stands here is what it said last.
        </p>
        <p className="ended" role="status">
          The bench has ended this session.
        </p>
        <main className="bench">
          <h1 className="unseen">{title}</h1>
          {places.map(({ id, label, role }) =>
            role === 'told' ? (
              <div key={id} id={id} className="unseen" role="status" aria-live="assertive" />
            ) : (
              <section key={id} id={id} aria-label={label} />
            ),
          )}
        </main>
        <footer>
          Only shown here: keys are at the terminal and on the probe. Code for another browser: <span id="code" />
        </footer>
        <script src="/page.js" />
      </body>
    </html>,
  )}\n`;
}

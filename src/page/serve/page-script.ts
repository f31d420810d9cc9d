/**
 * What runs in the browser: it listens to the server's events (server-sent events, WHATWG HTML) and
 * puts each panel that changed into its place. A page that lost the bench says so, and looks for it
 * again.
 */
export const pageScript = `'use strict';
const body = document.body;
const source = new EventSource('/events');
source.onopen = () => { body.dataset.bench = 'there'; };
source.onerror = () => { if (body.dataset.bench !== 'ended') body.dataset.bench = 'away'; };
source.addEventListener('panels', (event) => {
  const panels = JSON.parse(event.data);
  for (const id of Object.keys(panels)) {
    const panel = document.getElementById(id);
    if (panel !== null && panel.innerHTML !== panels[id]) panel.innerHTML = panels[id];
  }
});
source.addEventListener('ended', () => { body.dataset.bench = 'ended'; source.close(); });
`;

import { renderUnicodeCompact } from 'uqr';
import type { SessionPage } from '../../page/serve/page-face.ts';
import type { PageParts } from '../../page/serve/page-server.ts';
import type { PanelPlace } from '../../page/serve/page-shell.tsx';
import type { SessionFace } from '../../session/engine/session-face.ts';
import type { Context } from '../program/context.ts';
import { pageAddress } from './page-address.ts';

/** Whether a session is shown on a page as well, and where. */
export interface PageOptions {
  page?: boolean;
  pageListen?: string | undefined;
  ascii?: boolean;
}

/** What a page shows, and under which title. */
interface ShownOnPage<State, Event> extends SessionPage<State, Event>, Pick<PageParts, 'pictures'> {
  title: string;
  places: readonly PanelPlace[];
}

/**
 * Opens the page beside the bench, says where it is, and returns it as a face of the session; none
 * when none is wanted. What draws it is loaded, and `shown` is asked, only then.
 *
 * @throws OhmwrightError `usage.page-address`
 */
export async function openPage<State, Event>(
  shown: () => Promise<ShownOnPage<State, Event>>,
  options: PageOptions,
  { terminal }: Context,
): Promise<SessionFace<State, Event>[]> {
  const address = pageAddress(options);
  if (address === null) return [];
  const { title, places, pictures, ...page } = await shown();
  const [{ openPageServer }, { pageShell }, { pageFace }] = await Promise.all([
    import('../../page/serve/page-server.ts'),
    import('../../page/serve/page-shell.tsx'),
    import('../../page/serve/page-face.ts'),
  ]);
  const server = await openPageServer({ markup: pageShell(title, places), pictures }, address);
  // a tablet reads the address with its camera
  if (options.pageListen !== undefined && options.ascii !== true && terminal.talkCols !== undefined) {
    for (const row of renderUnicodeCompact(server.url, { border: 2 }).split('\n')) terminal.say(row);
  }
  terminal.say(`page: ${server.url}`);
  return [pageFace(server, page)];
}

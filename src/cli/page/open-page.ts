import { renderUnicodeCompact } from 'uqr';
import type { PageServer } from '../../page/serve/page-server.ts';
import type { PanelPlace } from '../../page/serve/page-shell.tsx';
import type { Context } from '../program/context.ts';
import { pageAddress } from './page-address.ts';

/** Whether a session is shown on a page as well, and where. */
export interface PageOptions {
  page?: boolean;
  pageListen?: string | undefined;
  ascii?: boolean;
}

/**
 * Opens the page beside the bench, and says where it is; null when none is wanted.
 *
 * @throws OhmwrightError `usage.page-address`
 */
export async function openPage(
  { title, places }: { title: string; places: readonly PanelPlace[] },
  options: PageOptions,
  { terminal }: Context,
): Promise<PageServer | null> {
  const address = pageAddress(options);
  if (address === null) return null;
  const [{ openPageServer }, { pageShell }] = await Promise.all([
    import('../../page/serve/page-server.ts'),
    import('../../page/serve/page-shell.tsx'),
  ]);
  const server = await openPageServer({ markup: pageShell(title, places) }, address);
  // a tablet reads the address with its camera
  if (options.pageListen !== undefined && options.ascii !== true && terminal.talkCols !== undefined) {
    for (const row of renderUnicodeCompact(server.url, { border: 2 }).split('\n')) terminal.say(row);
  }
  terminal.say(`page: ${server.url}`);
  return server;
}

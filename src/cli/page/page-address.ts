import { isIP } from 'node:net';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { PageAddress } from '../../page/serve/page-server.ts';

/** Only this computer can reach it. */
const loopback = '127.0.0.1';

/**
 * Returns where the page is to be served; null when none is wanted. `listen` is ADDRESS or
 * ADDRESS:PORT, an IPv6 address with a port in brackets.
 *
 * @throws OhmwrightError `usage.page-address`
 */
export function pageAddress({ page, pageListen }: { page?: boolean; pageListen?: string }): PageAddress | null {
  if (pageListen === undefined) return page === true ? { host: loopback, port: 0 } : null;
  const [, bracketed, plain, port = '0'] =
    /^(?:\[([^\]]+)\]|([^:]+|[^:]*:[^:]*:.*?))(?::(\d{1,5}))?$/.exec(pageListen) ?? [];
  const host = bracketed ?? plain ?? '';
  if ((isIP(host) === 0 && host !== 'localhost') || Number(port) > 65_535) {
    throw new OhmwrightError('usage.page-address', `${pageListen} is no address that a page can be shown at.`, {
      help: 'Give an address of this computer, as ADDRESS or ADDRESS:PORT.',
    });
  }
  return { host, port: Number(port) };
}

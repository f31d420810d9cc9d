import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { Admission } from './admission.ts';
import { codePage } from './code-page.ts';
import { pageScript } from './page-script.ts';
import { pageStyle } from './page-style.ts';
import { type Panels, type UpdateStream, Viewers } from './viewers.ts';

/** A picture that the page may show. */
interface ServedPicture {
  type: string;
  bytes: Uint8Array;
}

export interface PageServer {
  /** Address with the code that lets the first browser in. */
  readonly url: string;
  /** The code for the next browser. */
  readonly code: string;
  /** Shows the newest panels to all who look; while nobody does, they are not drawn. Never waits. */
  show(draw: () => Panels): void;
  /** Says that the session has ended, and closes. What was shown stays to be read. */
  close(): Promise<void>;
}

/** What a page is made of, beside its panels. */
export interface PageParts {
  /** The whole page, with an empty place for each panel. */
  markup: string;
  /** Pictures by the last part of their address, `/picture/NAME`. */
  pictures?: ReadonlyMap<string, ServedPicture>;
}

/** Where the page is served: an address of this computer, and a port; 0: any that is free. */
export interface PageAddress {
  host: string;
  port: number;
}

/** Nothing is run, loaded or framed that is not the page's own (Content Security Policy level 3). */
const policy = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self'",
  "connect-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** What a browser may have open at most, all together. */
const mostViewers = 32;
/** A code is short; a request that sends more is none of ours. */
const mostBody = 1024;

/**
 * Serves a page to browsers that say the code.
 *
 * @throws OhmwrightError `usage.page-address` when the address is not this computer's, or its port is in use
 */
export async function openPageServer(parts: PageParts, { host, port }: PageAddress): Promise<PageServer> {
  const admission = new Admission();
  const viewers = new Viewers();
  const streams = new Set<ServerResponse>();
  const server = createServer((request, response) => {
    answer(request, response).catch(() => response.destroy());
  });
  // a browser that says nothing keeps no connection
  server.headersTimeout = 10_000;
  server.requestTimeout = 10_000;
  await listening();
  // it keeps no program running: the session does
  server.unref();
  const { port: bound } = server.address() as AddressInfo;
  const shownHost = host.includes(':') ? `[${host}]` : host;
  const hosts = new Set([`${shownHost}:${bound}`, `localhost:${bound}`, `127.0.0.1:${bound}`, `[::1]:${bound}`]);

  async function listening(): Promise<void> {
    await new Promise<void>((resolve, reject) => {
      server.once('error', (error: NodeJS.ErrnoException) => reject(addressError(error, host, port)));
      server.listen({ host, port }, resolve);
    });
  }

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    setHeaders(response);
    // a page of another name that leads here is not answered: DNS rebinding
    if (!hosts.has(request.headers.host ?? '')) return end(response, 421, 'text/plain', 'not this page\n');
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://page');
    if (request.method === 'POST' && pathname === '/code') return enter(await bodyOf(request), response);
    if (request.method !== 'GET') return end(response, 405, 'text/plain', 'only looked at\n');
    if (pathname === '/favicon.ico') return end(response, 204, 'image/x-icon', '');
    if (pathname === '/page.css') return end(response, 200, 'text/css', pageStyle);
    if (!admission.knows(request.headers.cookie)) {
      const code = searchParams.get('code');
      if (pathname === '/' && code !== null) return enter(code, response);
      return end(response, 403, 'text/html', codePage(false));
    }
    if (pathname === '/') return end(response, 200, 'text/html', parts.markup);
    if (pathname === '/page.js') return end(response, 200, 'text/javascript', pageScript);
    if (pathname === '/events') return follow(response);
    const picture = parts.pictures?.get(pathname.replace(/^\/picture\//, ''));
    if (picture === undefined) return end(response, 404, 'text/plain', 'no such thing here\n');
    response.setHeader('content-type', picture.type);
    response.end(picture.bytes);
  }

  /** Lets a browser in that says the code, and has it ask again: the address keeps no code. */
  function enter(said: string, response: ServerResponse): void {
    const cookie = admission.admit(said);
    if (cookie === null) {
      end(response, 403, 'text/html', codePage(true));
      return;
    }
    response.setHeader('set-cookie', cookie);
    response.setHeader('location', '/');
    response.statusCode = 303;
    response.end();
    showAll();
  }

  let drawNow = (): Panels => ({});
  const withCode = (): Panels => ({ ...drawNow(), code: admission.code });
  const showAll = (): void => {
    if (streams.size > 0) viewers.show(withCode());
  };

  function follow(response: ServerResponse): void {
    if (viewers.count >= mostViewers) {
      end(response, 503, 'text/plain', 'too many look on\n');
      return;
    }
    response.setHeader('content-type', 'text/event-stream');
    response.flushHeaders();
    const stream: UpdateStream = {
      send: (panels) => response.write(`event: panels\ndata: ${JSON.stringify(panels)}\n\n`),
    };
    streams.add(response);
    response.on('drain', () => viewers.free(stream));
    response.on('error', () => response.destroy());
    response.on('close', () => {
      viewers.remove(stream);
      streams.delete(response);
    });
    viewers.show(withCode());
    viewers.add(stream);
  }

  return {
    url: `http://${shownHost}:${bound}/?code=${admission.code}`,
    get code() {
      return admission.code;
    },
    show(draw) {
      drawNow = draw;
      showAll();
    },
    async close() {
      for (const response of streams) response.end('event: ended\ndata: {}\n\n');
      await new Promise<void>((resolve) => {
        server.close(() => resolve());
        // whoever does not take the end is not waited for
        setTimeout(() => server.closeAllConnections(), 200).unref();
        server.closeIdleConnections();
      });
    },
  };
}

function setHeaders(response: ServerResponse): void {
  response.setHeader('content-security-policy', policy);
  response.setHeader('x-content-type-options', 'nosniff');
  response.setHeader('referrer-policy', 'no-referrer');
  response.setHeader('cross-origin-resource-policy', 'same-origin');
  response.setHeader('cache-control', 'no-store');
}

function end(response: ServerResponse, status: number, type: string, text: string): void {
  response.statusCode = status;
  response.setHeader('content-type', `${type}; charset=utf-8`);
  response.end(text);
}

/** Returns the code of a form that was sent. */
async function bodyOf(request: IncomingMessage): Promise<string> {
  let text = '';
  for await (const chunk of request) {
    text += String(chunk);
    if (text.length > mostBody) return '';
  }
  return new URLSearchParams(text).get('code') ?? '';
}

function addressError({ code }: NodeJS.ErrnoException, host: string, port: number): OhmwrightError {
  if (code === 'EADDRINUSE') {
    return new OhmwrightError('usage.page-address', `the page can't be shown: port ${port} of ${host} is in use.`, {
      help: 'Name another port, or none: a free one is taken.',
    });
  }
  const reason =
    code === 'EACCES' ? 'this port is for programs with more rights' : `${host} is no address of this computer`;
  return new OhmwrightError('usage.page-address', `the page can't be shown: ${reason}.`, {
    help: 'Give an address of this computer, as ADDRESS or ADDRESS:PORT.',
  });
}

import { request as ask, type IncomingMessage } from 'node:http';
import { createServer } from 'node:net';
import { afterEach, describe, expect, test } from 'vitest';
import { openPageServer, type PageServer } from '../../../src/page/serve/page-server.ts';

const loopback = { host: '127.0.0.1', port: 0 };
const open: PageServer[] = [];
afterEach(async () => {
  for (const server of open.splice(0)) await server.close();
});

async function served(): Promise<{ server: PageServer; address: URL }> {
  const pictures = new Map([['front', { type: 'image/svg+xml', bytes: new TextEncoder().encode('<svg/>') }]]);
  const server = await openPageServer({ markup: '<p id="ask"></p>', pictures }, loopback);
  open.push(server);
  return { server, address: new URL(server.url) };
}

interface Answer {
  status: number | undefined;
  headers: IncomingMessage['headers'];
  body: string;
}

/** One request as it stands: no cookie jar, no redirect is followed. */
function fetched(
  address: URL,
  path: string,
  { method = 'GET', headers = {}, body }: { method?: string; headers?: Record<string, string>; body?: string } = {},
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const sent = ask({ host: address.hostname, port: address.port, path, method, headers }, (response) => {
      let text = '';
      response.setEncoding('utf8').on('data', (chunk: string) => {
        text += chunk;
      });
      response.on('end', () => resolve({ status: response.statusCode, headers: response.headers, body: text }));
    });
    sent.on('error', reject);
    sent.end(body);
  });
}

/** Says the code, and returns the cookie. */
async function admitted(address: URL, code: string): Promise<string> {
  const { status, headers } = await fetched(address, `/?code=${code}`);
  expect(status).toBe(303);
  expect(headers.location).toBe('/');
  return headers['set-cookie']![0]!.split(';')[0]!;
}

/** Opens the stream of events; `next` gives one event's data. */
async function listening(address: URL, cookie: string) {
  const chunks: string[] = [];
  let rest = '';
  let wake = (): void => undefined;
  const response = await new Promise<IncomingMessage>((resolve, reject) => {
    ask({ host: address.hostname, port: address.port, path: '/events', headers: { cookie } }, resolve)
      .on('error', reject)
      .end();
  });
  response.setEncoding('utf8').on('data', (chunk: string) => {
    const parts = `${rest}${chunk}`.split('\n\n');
    rest = parts.pop() ?? '';
    chunks.push(...parts);
    wake();
  });
  return {
    response,
    async next(): Promise<{ event: string; data: unknown }> {
      while (chunks.length === 0) {
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
      const [event = '', data = ''] = chunks.shift()!.split('\n');
      return { event: event.replace('event: ', ''), data: JSON.parse(data.replace('data: ', '')) };
    },
  };
}

describe('who is let in', () => {
  test('the code in the address is good for one browser; the next one needs the next code', async () => {
    const { server, address } = await served();
    const first = address.searchParams.get('code')!;
    const cookie = await admitted(address, first);
    expect((await fetched(address, '/', { headers: { cookie } })).status).toBe(200);
    expect((await fetched(address, `/?code=${first}`)).status).toBe(403);
    expect(server.code).not.toBe(first);
    const second = await admitted(address, server.code.toLowerCase());
    expect(second).not.toBe(cookie);
    expect((await fetched(address, '/', { headers: { cookie: second } })).status).toBe(200);
    // a browser that reloads still has its cookie
    expect((await fetched(address, '/', { headers: { cookie } })).status).toBe(200);
  });

  test('a code that is typed lets in as well', async () => {
    const { server, address } = await served();
    const typed = (code: string) => fetched(address, '/code', { method: 'POST', body: `code=${code}` });
    expect((await typed('WRONGONE')).status).toBe(403);
    expect((await typed('A'.repeat(100_000))).status).toBe(403);
    const { status, headers } = await typed(server.code);
    expect(status).toBe(303);
    expect(headers['set-cookie']![0]).toMatch(/; HttpOnly; SameSite=Strict/);
  });

  test.each(['/', '/page.js', '/events', '/picture/front', '/nothing'])(
    'without a cookie %s is refused',
    async (path) => {
      const { address } = await served();
      const cookie = 'ohmwright_page=; other=1; ohmwright_page=AAAA';
      expect((await fetched(address, path)).status).toBe(403);
      expect((await fetched(address, path, { headers: { cookie } })).status).toBe(403);
    },
  );

  test('a page of another name is not answered, whatever it knows', async () => {
    const { address } = await served();
    const cookie = await admitted(address, address.searchParams.get('code')!);
    for (const host of ['evil.example', `evil.example:${address.port}`, '127.0.0.1:1']) {
      expect((await fetched(address, '/', { headers: { cookie, host } })).status).toBe(421);
    }
    expect((await fetched(address, '/', { headers: { cookie, host: `localhost:${address.port}` } })).status).toBe(200);
  });

  test.each(['POST', 'PUT', 'DELETE'])('nothing is changed by %s', async (method) => {
    const { address } = await served();
    const cookie = await admitted(address, address.searchParams.get('code')!);
    expect((await fetched(address, '/', { method, headers: { cookie } })).status).toBe(405);
  });
});

test('every answer forbids what is foreign', async () => {
  const { address } = await served();
  const { headers } = await fetched(address, '/');
  const policy = String(headers['content-security-policy']).split('; ');
  expect(policy).toContain("default-src 'none'");
  expect(policy).toContain("script-src 'self'");
  expect(policy).toContain("frame-ancestors 'none'");
  expect(headers['x-content-type-options']).toBe('nosniff');
  expect(headers['cache-control']).toBe('no-store');
});

test('pictures are served by name, and nothing else', async () => {
  const { address } = await served();
  const cookie = await admitted(address, address.searchParams.get('code')!);
  const picture = await fetched(address, '/picture/front', { headers: { cookie } });
  expect(picture).toMatchObject({ status: 200, body: '<svg/>' });
  for (const path of ['/picture/back', '/picture/../page.js/..%2f', '/package.json', '/picture/__proto__']) {
    expect((await fetched(address, path, { headers: { cookie } })).status).toBe(404);
  }
});

test('a browser follows: everything at once, then what changed, then the next code, then the end', async () => {
  const { server, address } = await served();
  const cookie = await admitted(address, address.searchParams.get('code')!);
  server.show(() => ({ ask: 'touch', reading: '1 ohm' }));
  const browser = await listening(address, cookie);
  const code = server.code;
  expect(await browser.next()).toEqual({ event: 'panels', data: { ask: 'touch', reading: '1 ohm', code } });
  server.show(() => ({ ask: 'touch', reading: '2 ohm' }));
  expect(await browser.next()).toEqual({ event: 'panels', data: { reading: '2 ohm' } });
  await admitted(address, code);
  expect(await browser.next()).toEqual({ event: 'panels', data: { code: server.code } });
  await server.close();
  expect(await browser.next()).toEqual({ event: 'ended', data: {} });
});

test('a browser that hangs keeps neither the session nor its memory', async () => {
  const { server, address } = await served();
  const cookie = await admitted(address, address.searchParams.get('code')!);
  const [stuck, other] = [await listening(address, cookie), await listening(address, cookie)];
  await stuck.next();
  await other.next();
  stuck.response.pause();
  const before = process.memoryUsage().arrayBuffers + process.memoryUsage().heapUsed;
  const large = 'x'.repeat(200_000);
  for (let n = 0; n < 500; n++) {
    server.show(() => ({ reading: `${n}${large}` }));
    expect((await other.next()).data).toHaveProperty('reading');
  }
  const after = process.memoryUsage().arrayBuffers + process.memoryUsage().heapUsed;
  // 100 MB were shown; what waits for the stuck one is one frame and the buffers of the connection
  expect(after - before).toBeLessThan(60e6);
  await server.close();
});

test('a port in use, and an address of another computer, are told', async () => {
  const taken = createServer();
  await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve));
  const { port } = taken.address() as { port: number };
  const code = 'usage.page-address';
  await expect(openPageServer({ markup: '' }, { host: '127.0.0.1', port })).rejects.toMatchObject({ code });
  await expect(openPageServer({ markup: '' }, { host: '203.0.113.7', port: 0 })).rejects.toMatchObject({ code });
  taken.close();
});

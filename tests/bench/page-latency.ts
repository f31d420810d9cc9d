import { chromium } from 'playwright-core';
import type { openPageServer } from '../../src/page/serve/page-server.ts';
import { browserPath } from '../browser/chromium.ts';
import { built } from '../support/fake-terminal.ts';
import { type Measured, median, quantile } from './benchmark.ts';

export const name = 'page-latency';
export const claim = 'time from a new panel at the bench to its place in a real browser against 50 ms, of 300 panels';

const panels = 300;
/** A panel of the size of the largest: a drawing. */
const padding = 'x'.repeat(20_000);
const mostMs = 50;

interface BrowserWorld {
  waits: number[];
  document: { getElementById(id: string): { textContent: string } | null };
  MutationObserver: new (seen: () => void) => { observe(what: unknown, how: object): void };
}

/** Measures with both clocks of one computer: when the panel was shown, and when it stood in the page. */
export async function measure(): Promise<Measured> {
  if (browserPath === null) throw new Error('this benchmark needs Chromium');
  const { pageShell } = await built<{ pageShell(title: string, places: { id: string; label: string }[]): string }>(
    'page/serve/page-shell.js',
  );
  const served = await built<{ openPageServer: typeof openPageServer }>('page/serve/page-server.js');
  const markup = pageShell('Latency', [{ id: 'reading', label: 'Reading' }]);
  const server = await served.openPageServer({ markup }, { host: '127.0.0.1', port: 0 });
  const browser = await chromium.launch({ executablePath: browserPath, args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const page = await browser.newPage();
    await page.addInitScript(() => {
      const world = globalThis as unknown as BrowserWorld;
      world.waits = [];
      new world.MutationObserver(() => {
        const sent = Number(/^\d+\.\d+/.exec(world.document.getElementById('reading')?.textContent ?? '')?.[0]);
        if (sent > 0) world.waits.push(performance.timeOrigin + performance.now() - sent);
      }).observe(world.document, { childList: true, subtree: true });
    });
    await page.goto(server.url);
    const blocked: number[] = [];
    for (let n = 0; n < panels; n++) {
      const before = performance.now();
      server.show(() => ({ reading: `${(performance.timeOrigin + before).toFixed(3)} ${padding}` }));
      blocked.push(performance.now() - before);
      // at a screen's pace
      await new Promise((resolve) => setTimeout(resolve, 1000 / 15));
    }
    const waits = await page.evaluate(() => (globalThis as unknown as BrowserWorld).waits);
    return {
      figures: [
        {
          what: 'p95 from bench to browser, as a share of 50 ms',
          value: quantile(waits, 0.95) / mostMs,
          sense: 'at most',
          target: 1,
        },
      ],
      work: { panels: waits.length },
      numbers: {
        medianMs: median(waits),
        p95Ms: quantile(waits, 0.95),
        heldUpMedianMs: median(blocked),
        heldUpP95Ms: quantile(blocked, 0.95),
      },
    };
  } finally {
    await browser.close();
    await server.close();
  }
}

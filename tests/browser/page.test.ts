// The page beside the bench in a real browser, beside a real job: firmware, pseudo-terminal, session, server-sent events.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type DriverOptions, driveBy, startSim } from '../e2e/bench.ts';
import { padColours, picturedGuide } from '../support/pictured-guide.ts';
import { killProgramsAfterwards, ohmwright, type Program } from '../support/program.ts';
import { scratch, shortGuide } from '../support/scratch.ts';
import { browserPath, missingBrowser } from './chromium.ts';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** What a script in the browser uses of it. */
interface BrowserWorld {
  seen: string[];
  document: { querySelectorAll(selector: string): Iterable<{ textContent: string }> };
  MutationObserver: new (seen: () => void) => { observe(what: unknown, how: object): void };
}

/** Returns the colour in the middle of a box on the page, as red, green, blue. */
async function colourAt(page: Page, box: { x: number; y: number; width: number; height: number } | null) {
  const middle = { x: box!.x + box!.width / 2, y: box!.y + box!.height / 2 };
  const shot = await page.screenshot({ clip: { x: middle.x - 1, y: middle.y - 1, width: 3, height: 3 } });
  const { channels } = await sharp(shot).stats();
  return channels.slice(0, 3).map(({ mean }) => mean);
}

/** A colour, as near as a photo keeps it. */
const near = (hex: string) => [1, 3, 5].map((at) => expect.closeTo(Number.parseInt(hex.slice(at, at + 2), 16), -1.6));

/** A job on an emulated probe with a page that a browser looks at. */
interface Watched {
  page: Page;
  run: Program;
  sim: Program;
  url: string;
}

describe.skipIf(missingBrowser())('the page beside a job', { timeout: 120_000 }, () => {
  killProgramsAfterwards();
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: browserPath!,
      args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-sync', '--no-first-run'],
    });
  }, 60_000);
  afterAll(() => browser?.close());

  async function watched(
    fault: string[],
    scheme: 'light' | 'dark' = 'light',
    driver: DriverOptions & { onStart?: (sim: Program) => void; guideFor?: (folder: string) => Promise<string> } = {},
  ): Promise<Watched> {
    const folder = scratch();
    const guide = (await driver.guideFor?.(folder)) ?? shortGuide;
    const { sim, port } = await startSim(['--guide', guide, '--link', join(folder, 'probe'), ...fault]);
    const record = join(folder, 'job.owjob');
    const job = [
      'run',
      guide,
      '--order',
      'guide',
      '--revision',
      'A',
      '--ticket',
      '<b>T-1</b>',
      '--port',
      port,
      '--record',
      record,
    ];
    const run = ohmwright([...job, '--accept-cautions', 'all', '--page', '--repair', 'none']);
    driver.onStart?.(sim);
    const { line } = await run.said.find(/^page: /);
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, colorScheme: scheme });
    const url = line.replace('page: ', '');
    // what is shown for a moment only is seen as well
    await page.addInitScript(() => {
      const world = globalThis as unknown as BrowserWorld;
      world.seen = [];
      new world.MutationObserver(() => {
        world.seen.push(...[...world.document.querySelectorAll('.headline')].map((one) => one.textContent));
      }).observe(world.document, { childList: true, subtree: true });
    });
    await page.goto(url);
    // the hands wait until somebody looks on
    driveBy(run, sim, driver);
    return { page, run, sim, url };
  }

  async function violations(page: Page): Promise<string[]> {
    await page.evaluate(axe);
    return page.evaluate(async () => {
      const { axe: checker } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      return (await checker.run()).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);
    });
  }

  /** Headlines that were shown, each once. */
  const headlines = async (page: Page): Promise<Set<string>> =>
    new Set(await page.evaluate(() => (globalThis as unknown as BrowserWorld).seen));

  const overflow = (page: Page): Promise<number> =>
    page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');

  test('shows where to touch, a fail, the place found and the end; axe finds nothing amiss', async () => {
    const { page, run } = await watched(['--fault', 'wire-a=high:20ohm']);
    await page.locator('#ask .where').first().waitFor();
    expect(await page.locator('#picture .tip').count()).toBe(2);
    expect(await violations(page)).toEqual([]);
    expect((await run.ended).code).toBe(1);
    await page.locator('body[data-bench=ended]').waitFor();
    expect([...(await headlines(page))]).toEqual(expect.arrayContaining(['\u2713 PASS', '\u2717 FAIL', 'FAULT FOUND']));
    expect(await page.locator('#answer .found').first().textContent()).toContain('switch wire');
    expect(await page.locator('#picture .board.fault').count()).toBe(2);
    // what a ticket holds is text
    expect(await page.locator('#top').innerHTML()).toContain('&lt;b&gt;T-1&lt;/b&gt;');
    expect(await violations(page)).toEqual([]);
    await page.close();
  });

  test('shows the pictures of the guide, turned as they are seen, zoomed to the pads; axe finds nothing amiss', async () => {
    let isHeld = true;
    const onLine = (line: string): boolean => isHeld && /^\s*Tip B: P2/.test(line);
    const { page, run, sim } = await watched(['--fault', 'wire-a=open'], 'light', { guideFor: picturedGuide, onLine });
    const photo = page.locator('#picture svg.photo');
    await photo.waitFor();
    expect(await photo.getAttribute('aria-label')).toBe('lamp, lid off: tip A on P1, tip B on P2');
    expect(await photo.locator('.tip').count()).toBe(2);
    // the middle of each frame shows the pad's own square: nothing covers it, and the photo is not on its side
    const frames = photo.locator('.frame circle, .frame rect');
    const seen = await Promise.all([0, 1].map(async (i) => colourAt(page, await frames.nth(i).boundingBox())));
    expect(seen[0]).toEqual(near(padColours.P1));
    expect(seen[1]).toEqual(near(padColours.P2));
    expect(await violations(page)).toEqual([]);
    isHeld = false;
    for (const word of ['lift', 'wait 150 ms', 'touch P1 P2']) sim.type(word);
    await run.ended;
    await page.locator('body[data-bench=ended]').waitFor();
    expect(await photo.first().getAttribute('aria-label')).toContain('the fault is at P1, P2');
    expect(await violations(page)).toEqual([]);
    await page.close();
  });

  test('on a dark phone it runs over no edge, and axe finds nothing amiss', async () => {
    const { page, run } = await watched([], 'dark');
    await page.setViewportSize({ width: 360, height: 700 });
    await page.locator('#ask .where').first().waitFor();
    expect(await overflow(page)).toBe(0);
    await run.ended;
    await page.locator('body[data-bench=ended]').waitFor();
    expect(await overflow(page)).toBe(0);
    expect(await violations(page)).toEqual([]);
    await page.close();
  });

  test('tells a voltage on the tips, and a probe that is gone and there again', async () => {
    let hands: Program | null = null;
    const onLine = (line: string): boolean => {
      if (!/^\s*Tip B: P2/.test(line)) return false;
      for (const word of ['power on', 'touch P4 P5']) hands?.type(word);
      return true;
    };
    const { page, run, sim } = await watched([], 'light', { onLine, onStart: (bench) => (hands = bench) });
    const headline = (text: string) => page.locator('#reading .headline', { hasText: text });
    await headline('LIVE').waitFor();
    sim.type('unplug');
    await headline('NO PROBE').waitFor();
    sim.type('plug');
    await headline('NO PROBE').waitFor({ state: 'detached' });
    run.kill('SIGINT');
    expect((await run.ended).code).toBe(130);
    await headline('LEFT').waitFor();
    await page.close();
  });

  test('a browser that reloads stays; another one needs the next code; one that is closed loses nothing', async () => {
    let goOn = (): void => undefined;
    let isHeld = true;
    const onLine = (line: string): boolean => isHeld && /^\s*Tip B: P2/.test(line);
    const start: DriverOptions & { onStart: (bench: Program) => void } = {
      onLine,
      onStart: (bench) => {
        goOn = () => {
          isHeld = false;
          for (const word of ['lift', 'wait 150 ms', 'touch P1 P2']) bench.type(word);
        };
      },
    };
    const { page, run, url } = await watched([], 'light', start);
    await page.locator('#ask .where').first().waitFor();
    await page.reload();
    await page.locator('#ask h2').waitFor();
    const other = await browser.newPage();
    expect((await other.goto(url))?.status()).toBe(403);
    expect(await violations(other)).toEqual([]);
    await other.locator('input').fill((await page.locator('#code').textContent())!.toLowerCase());
    await other.locator('button').click();
    await other.locator('#top strong').waitFor();
    await page.close();
    goOn();
    expect((await run.ended).code).toBe(0);
    await other.close();
  });

  /** Opens the page of a command that is running. */
  async function opened(command: Program): Promise<Page> {
    const { line } = await command.said.find(/^page: /);
    const page = await browser.newPage({ viewport: { width: 900, height: 700 } });
    await page.goto(line.replace('page: ', ''));
    return page;
  }

  test('the meter has a page as well: what the tips read, until it is left', async () => {
    const meter = ['meter', '--port', 'sim:', '--guide', shortGuide, '--between', 'P1,P2', '--page', '--real-time'];
    const run = ohmwright(meter);
    const page = await opened(run);
    await page.locator('#wide .number', { hasText: /^0\.\d+ ohm/ }).waitFor();
    expect(await page.locator('#checks dt').count()).toBeGreaterThan(3);
    expect(await violations(page)).toEqual([]);
    run.kill('SIGINT');
    await page.locator('body[data-bench=ended]').waitFor();
    expect((await run.ended).code).toBe(130);
    await page.close();
  });

  test('a calibration has one: what to present, and how far it is', async () => {
    const run = ohmwright(['calibrate', '--port', 'sim:', '--hands', '--page', '--calibrations', scratch()]);
    const page = await opened(run);
    await page.locator('#wide tbody tr').first().waitFor();
    expect(await page.locator('#checks li').count()).toBeGreaterThan(5);
    await page.locator('#checks li', { hasText: '\u2713' }).first().waitFor();
    expect(await violations(page)).toEqual([]);
    await page.close();
    run.kill('SIGTERM');
    await run.ended;
  });
});

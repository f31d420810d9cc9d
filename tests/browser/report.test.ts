import { createRequire } from 'node:module';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { reportHtml } from '../../src/report/paper/render.ts';
import { dataOf } from '../support/report-records.ts';
import { captured, opened, presses, probe, proofs, wholeJob } from '../support/sample-job.ts';
import { browserPath, missingBrowser } from './chromium.ts';

const axePath = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

describe.skipIf(missingBrowser())('the report in a browser', { timeout: 60_000 }, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: browserPath!,
      args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-sync', '--no-first-run'],
    });
  }, 60_000);
  afterAll(() => browser?.close());

  /** A page with the report of a job that failed, was repaired, and of one that passed; with what it tried to fetch. */
  async function openReport(colorScheme: 'light' | 'dark', width: number): Promise<{ page: Page; fetched: string[] }> {
    const html = reportHtml(
      await dataOf([
        ...wholeJob().slice(0, 5),
        captured('spring', 5),
        presses('key', [0.2, 0.3, 'missed']),
        { kind: 'repair', what: 'repair', repair: 'clean', unit: null, text: 'cleaned the spring', by: 'person' },
        { ...captured('spring', 0.4, 2), phase: 'after' },
        ...proofs('closing'),
      ]),
    );
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme, javaScriptEnabled: true });
    const fetched: string[] = [];
    page.on('request', (request) => fetched.push(request.url()));
    await page.setContent(html);
    return { page, fetched };
  }

  test.each(['light', 'dark'] as const)('has no accessibility violation on a %s screen (axe-core)', async (scheme) => {
    const { page, fetched } = await openReport(scheme, 1000);
    expect(fetched).toEqual([]);
    await page.addScriptTag({ path: axePath });
    const violations = await page.evaluate(async () => {
      const { axe } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      return (await axe.run()).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);
    });
    expect(violations).toEqual([]);
    await page.close();
  });

  test('fits a narrow screen and A4 paper without running over the edge', async () => {
    const { page } = await openReport('light', 420);
    const overflow = (): Promise<number> =>
      page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');
    expect(await overflow()).toBe(0);
    await page.emulateMedia({ media: 'print' });
    // A4 less its margins of 14 mm, at 96 dots an inch
    await page.setViewportSize({ width: Math.round((182 / 25.4) * 96), height: 1000 });
    expect(await overflow()).toBe(0);
    const pdf = await page.pdf({ format: 'A4', preferCSSPageSize: true });
    const pages = pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0;
    expect(pages).toBeGreaterThanOrEqual(2);
    expect(pages).toBeLessThanOrEqual(8);
    await page.close();
  });

  test('draws a reading inside its band, and one outside beyond it', async () => {
    const { page } = await openReport('light', 1000);
    const row = page.locator('tr', { hasText: 'Spring contact' }).first();
    const band = (await row.locator('rect.band').boundingBox())!;
    const before = (await row.locator('circle.mark:not(.full)').boundingBox())!;
    const after = (await row.locator('circle.mark.full').boundingBox())!;
    expect(before.x).toBeGreaterThan(band.x + band.width);
    expect(after.x + after.width).toBeLessThan(band.x + band.width);
    expect(after.x).toBeGreaterThan(band.x);
    await page.close();
  });

  test('is read without scripts', async () => {
    const page = await browser.newPage({ javaScriptEnabled: false });
    await page.setContent(reportHtml(await dataOf([opened, probe(), ...proofs('opening'), captured('spring', 0.4)])));
    expect(await page.locator('h1').textContent()).toBe('Pocket lamp "Ängström"');
    expect(await page.locator('svg[role=img]').count()).toBeGreaterThan(0);
    await page.close();
  });
});

// A guide's dwell, by the real firmware on the emulated probe in virtual time: each touch lasts at least so long, on the probe's clock.
import { expect, test } from 'vitest';
import { parseGuide } from '../../src/checks/guides.ts';
import { exampleText } from '../support/example-guide.ts';
import { virtualJob } from '../support/virtual-job.ts';

const text = exampleText('field-recorder');
/** The first two checks of ohms, as the guide's table begins them. */
const rows = /\{ id: (key-closed|key-released),/g;

/** How long the tips were on the pads until each capture of ohms, by check. */
async function touchesUs(guideText: string): Promise<{ touchUs: number; settleUs: number; n: number }[]> {
  const parsed = parseGuide(guideText, 'field-recorder.yaml');
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  const { guide } = parsed;
  const checks = guide.checks.filter(({ kind }) => kind === 'resistance').slice(0, 2);
  const { of, report } = await virtualJob({ guide: { guide: { ...guide, checks }, text: guideText }, seed: 7 });
  expect(report.departures).toEqual([]);
  return of('capture').map(({ capture }) => ({ ...capture!.contact, n: capture!.window.codes.length }));
}

test('a dwell of 1500 ms gives touches of at least that length; the window stays as long as it was', {
  timeout: 60_000,
}, async () => {
  const usual = await touchesUs(text);
  const long = await touchesUs(text.replaceAll(rows, '{ id: $1, dwell: 1500 ms,'));
  expect(usual.length).toBe(2);
  expect(long.length).toBe(usual.length);
  for (const { touchUs } of usual) expect(touchUs).toBeLessThan(1_000_000);
  for (const { touchUs, settleUs } of long) expect(touchUs - settleUs).toBeGreaterThanOrEqual(1_500_000);
  expect(long.map(({ n }) => n)).toEqual(usual.map(({ n }) => n));
});

// Papers tell times by the clock of the shop, with its zone; UTC is said where it is UTC.
// Offsets: IANA time zone database, Europe/Vienna is UTC+2 in summer, Asia/Kathmandu UTC+5:45.
import { expect, test } from 'vitest';
import { localClock } from '../../../src/cli/places/local-time.ts';
import { labelText } from '../../../src/report/handover/label.ts';
import { reportHtml } from '../../../src/report/paper/render.ts';
import { clockTime } from '../../../src/view/text/clock-time.ts';
import { dataOf } from '../../support/report-records.ts';
import { wholeJob } from '../../support/sample-job.ts';

const vienna = localClock({ env: { TZ: 'Europe/Vienna' } });
const at = '2031-06-30T22:15:00.000Z';

test('a time is told with its zone, across midnight', () => {
  expect(clockTime(at)).toBe('2031-06-30 22:15 UTC');
  expect(clockTime(at, vienna)).toBe('2031-07-01 00:15 Europe/Vienna');
  expect(clockTime(at, localClock({ env: { TZ: 'Australia/Adelaide' } }))).toBe('2031-07-01 07:45 Australia/Adelaide');
});

test('report and label tell the same times by the clock that they are given, else in UTC', async () => {
  const data = await dataOf(wholeJob());
  const closed = data.closedAt!;
  const label = { state: data.state, digest: 'ab'.repeat(32), verifies: true };
  expect(labelText(label, 48)).toContain(clockTime(closed));
  expect(labelText({ ...label, clock: vienna }, 48)).toContain(clockTime(closed, vienna));
  const html = reportHtml(data, { letterhead: { clock: vienna } });
  expect(html).toContain(clockTime(data.openedAt, vienna));
  expect(html).toContain(vienna.time(data.entries[0]!.at));
  expect(html).not.toContain('UTC');
  expect(reportHtml(data)).toContain(clockTime(data.openedAt));
});

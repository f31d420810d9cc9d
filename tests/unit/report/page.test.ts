import { describe, expect, it } from 'vitest';
import type { NewEntry } from '../../../src/job/entries.ts';
import { reportHtml } from '../../../src/report/html/render.ts';
import { captured, opened, presses, probe, proofs, wholeJob } from '../job/sample-job.ts';
import { dataOf } from './records.ts';

const evil = `<script>alert("1")</script><img src=x onerror=alert(2)> & "'`;

describe('the page of a record', () => {
  it('opens with what a customer wants, then a supplier, then a colleague', async () => {
    const html = reportHtml(await dataOf(wholeJob()));
    const places = [
      'What was wrong',
      'What was done',
      'Is it right now?',
      'Readings',
      'Every entry',
      'How to check',
    ].map((words) => html.indexOf(words));
    expect(places.every((place) => place > 0)).toBe(true);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it('needs nothing from outside and runs nothing', async () => {
    const html = reportHtml(await dataOf(wholeJob()));
    expect(html).not.toMatch(/<script|<link|<iframe|<object|@import|url\(|\ssrc=|\son[a-z]+=/i);
    expect(html.match(/https?:\/\//g)).toBeNull();
  });

  it('escapes every text of guide, ticket and person', async () => {
    const entries: NewEntry[] = [
      {
        ...opened,
        ticket: evil,
        symptom: evil,
        technician: evil,
        device: { maker: evil, name: evil, revision: evil, serial: evil },
        guide: {
          ...opened.guide,
          title: evil,
          checks: opened.guide.checks.map((check) => ({ ...check, title: evil })),
        },
      },
      probe(),
      ...proofs('opening'),
      { kind: 'note', text: evil },
      { ...captured('spring', 0.4), why: evil },
      { kind: 'skipped', check: 'lens', reason: evil, by: 'person' },
      { kind: 'repair', what: 'repair', repair: evil, unit: null, text: evil, by: 'person' },
    ];
    const html = reportHtml(await dataOf(entries));
    expect(html).toContain('&lt;script&gt;');
    expect(html).not.toMatch(/<script|<img/i);
  });

  it('shows readings with their intervals, presses and traces as pictures that have words', async () => {
    const html = reportHtml(await dataOf(wholeJob()));
    const labels = [...html.matchAll(/<svg[^>]*aria-label="([^"]+)"/g)].map(([, label]) => label);
    expect(labels.some((label) => label?.startsWith('Spring contact: before'))).toBe(true);
    expect(labels.some((label) => label?.includes('3 presses, 0 bad, 0 missed'))).toBe(true);
    expect(labels.some((label) => label?.includes('readings between'))).toBe(true);
    expect(html.match(/<svg/g)).toHaveLength(labels.length);
  });

  it('puts before beside after a repair', async () => {
    const entries: NewEntry[] = [
      opened,
      probe(),
      ...proofs('opening'),
      captured('spring', 5),
      { kind: 'repair', what: 'repair', repair: 'clean', unit: null, text: 'cleaned the spring', by: 'person' },
      { ...captured('spring', 0.4, 2), phase: 'after' },
      ...proofs('closing'),
    ];
    const data = await dataOf(entries);
    const spring = data.checks.find(({ id }) => id === 'spring');
    expect([spring?.before?.outcome, spring?.after?.outcome]).toEqual(['fail', 'pass']);
    expect(data.short.done).toEqual(['Done: cleaned the spring.']);
    expect(reportHtml(data)).toMatch(/Before<\/th><th[^>]*>After/);
  });

  it('says so when the record does not verify, and claims nothing for readings whose proof failed', async () => {
    const lying = captured('spring', 5, 1, { outcome: 'pass' });
    const data = await dataOf([opened, probe(), lying, presses('key', ['missed'])]);
    expect(data.verified.ok).toBe(false);
    const html = reportHtml(data);
    expect(html).toContain('it did NOT verify');
    expect(html).toContain('not to be relied on');
  });
});

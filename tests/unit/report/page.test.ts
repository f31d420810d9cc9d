import { describe, expect, test } from 'vitest';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { allReaders, type Reader } from '../../../src/report/paper/reader.ts';
import { reportHtml } from '../../../src/report/paper/render.ts';
import { inShort } from '../../../src/view/words/in-short.ts';
import { dataOf, recordOf } from '../../support/report-records.ts';
import { captured, opened, presses, probe, proofs, wholeJob } from '../../support/sample-job.ts';

const evil = `<script>alert("1")</script><img src=x onerror=alert(2)> & "'`;

describe('the page of a record', () => {
  test('opens with what a customer wants, then a supplier, then a colleague', async () => {
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

  test('needs nothing from outside and runs nothing', async () => {
    const html = reportHtml(await dataOf(wholeJob()));
    expect(html).not.toMatch(/<script|<link|<iframe|<object|@import|url\(|\ssrc=|\son[a-z]+=/i);
    expect(html.match(/https?:\/\//g)).toBeNull();
  });

  test('escapes every text of guide, ticket and person', async () => {
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

  test('shows readings with their intervals, presses and traces as pictures that have words', async () => {
    const html = reportHtml(await dataOf(wholeJob()));
    const labels = [...html.matchAll(/<svg[^>]*aria-label="([^"]+)"/g)].map(([, label]) => label);
    expect(labels.some((label) => label?.startsWith('Spring contact: before'))).toBe(true);
    expect(labels.some((label) => label?.includes('3 presses, 0 bad, 0 missed'))).toBe(true);
    expect(labels.some((label) => label?.includes('readings between'))).toBe(true);
    expect(html.match(/<svg/g)).toHaveLength(labels.length);
  });

  test('puts before beside after a repair', async () => {
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

  test('shows each proof of the probe with what it read against what was expected', async () => {
    const html = reportHtml(await dataOf(wholeJob()));
    const part = html.slice(html.indexOf('Proofs of the probe'), html.indexOf('Captured traces'));
    expect(part.match(/<tr>/g)).toHaveLength(5);
    for (const words of [
      'opening, tips held together',
      'closing, built-in resistor',
      '95 ohm .. 105 ohm',
      'All proofs',
    ])
      expect(part).toContain(words);
  });

  test('tells what was thought first when a repair did not help, and how often it was tried', async () => {
    const concluded = (id: string): NewEntry => ({
      kind: 'concluded',
      conclusion: 'fault',
      decisions: [{ id, name: `the ${id}`, p: 0.97 }],
      reasons: [`the ${id} it is`],
      doubt: null,
      beyond: null,
      evidence: [],
      notTested: [],
      plan: { steps: [], expectedCost: 0, currency: null } as never,
    });
    const cleaned: NewEntry = {
      kind: 'repair',
      what: 'repair',
      repair: 'clean',
      unit: null,
      text: 'cleaned',
      by: 'person',
    };
    const { state } = await recordOf([opened, probe()]);
    const told = inShort(
      { ...state, repairs: [cleaned, cleaned] as never },
      [concluded('spring'), concluded('spring'), concluded('board')] as never,
      null,
    );
    expect(told.wrong.slice(-2)).toEqual([
      'At first: the fault is in: the spring (97 %).',
      'Then: the fault is in: the board (97 %).',
    ]);
    expect(told.done).toEqual(['Done: cleaned (2 times).']);
    expect(told.why).toEqual(['the board it is']);
  });

  test('has a paper for each reader, and on each alone what that reader needs', async () => {
    const data = await dataOf(wholeJob());
    const on = (reader?: Reader) => {
      const html = reportHtml(data, { reader });
      const parts = [...html.matchAll(/class="for-(\w+)"/g)].map(([, part]) => part);
      return { parts, proofs: html.includes('<h2>Proofs of the probe</h2>'), signs: html.includes('class="sign"') };
    };
    expect(on()).toEqual({ parts: [...allReaders], proofs: true, signs: true });
    expect(on('customer')).toEqual({ parts: ['customer'], proofs: false, signs: true });
    expect(on('supplier')).toEqual({ parts: ['supplier'], proofs: true, signs: false });
    expect(on('colleague')).toEqual({ parts: ['colleague'], proofs: true, signs: false });
  });

  test('says so when the record does not verify, and claims nothing for readings whose proof failed', async () => {
    const lying = captured('spring', 5, 1, { outcome: 'pass' });
    const data = await dataOf([opened, probe(), lying, presses('key', ['missed'])]);
    expect(data.verified.ok).toBe(false);
    const html = reportHtml(data);
    expect(html).toContain('it did NOT verify');
    const verdict = /<p class="verdict[^>]*>(.*?)<\/p>/.exec(html)?.[1];
    expect(verdict).toContain('does not verify');
    expect(html.indexOf('Nothing on this page')).toBeLessThan(html.indexOf('What was wrong'));
    expect(html).toContain('not to be relied on');
  });
});

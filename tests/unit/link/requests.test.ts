import { describe, expect, test } from 'vitest';
import { countTable, statusTable, timeoutTable } from '../../../src/protocol/table.ts';
import { settle } from './manual-timers.ts';
import { openLink } from './open-link.ts';

const answerMs = timeoutTable.answer.ms;
const tries = countTable.answerTries.count;
const tone = { type: 'tone', frequencyHz: 880, durationMs: 50 } as const;

describe('requests', () => {
  test('go one at a time, in the order asked', async () => {
    const { link, probe, timers } = await openLink();
    probe.got.length = 0;
    probe.onRequest = ({ name }) => (name === 'tone' && probe.got.length === 1 ? null : 'ok');
    const both = Promise.all([link.request(tone), link.request({ type: 'keepAlive' })]);
    await settle();
    expect(probe.names).toEqual(['tone']);
    await timers.pass(answerMs);
    await both;
    expect(probe.names).toEqual(['tone', 'tone', 'keepAlive']);
  });

  test('a lost answer: the same frame is sent again', async () => {
    const { link, probe, timers } = await openLink();
    probe.got.length = 0;
    probe.onRequest = () => (probe.got.length < 3 ? null : 'ok');
    const asked = link.request(tone);
    await timers.pass(2 * answerMs);
    expect((await asked).status).toBe('ok');
    expect(probe.got[1]).toEqual(probe.got[0]);
    expect(probe.got[2]).toEqual(probe.got[0]);
    expect(link.counters().retries).toBe(2);
  });

  test('no answer at all: an error after as many sends as the table says, and the link is lost', async () => {
    const { link, probe, timers, told } = await openLink();
    probe.got.length = 0;
    probe.onRequest = () => null;
    const first = expect(link.request(tone)).rejects.toMatchObject({ code: 'link.no-answer' });
    const second = expect(link.request({ type: 'keepAlive' })).rejects.toMatchObject({ code: 'link.lost' });
    await timers.pass(tries * answerMs);
    await Promise.all([first, second]);
    expect(probe.names).toEqual(Array(tries).fill('tone'));
    expect(told()).toEqual(['connected', 'disconnected']);
    await expect(link.request(tone)).rejects.toMatchObject({ code: 'link.lost' });
  });

  test('an answer that comes twice counts once', async () => {
    const { link, probe } = await openLink();
    probe.copies = 2;
    const answers = [await link.request(tone), await link.request(tone), await link.request({ type: 'keepAlive' })];
    expect(answers.map((answer) => answer.request)).toEqual(['tone', 'tone', 'keepAlive']);
    await settle();
    expect(link.counters().strayAnswers).toBe(3);
  });

  test('a late answer to an earlier request is not taken for the present one', async () => {
    const { link, probe, timers } = await openLink();
    probe.onRequest = () => null;
    const asked = link.request({ type: 'start', rate: 'standard', batch: 8 });
    await settle();
    const { seq } = probe.got.at(-1)!;
    probe.send(probe.answer({ name: 'start', seq: (seq + 255) % 256, body: [] }, 'ok'));
    probe.send(probe.answer({ name: 'tone', seq, body: [] }, 'ok'));
    probe.onRequest = () => 'ok';
    await timers.pass(answerMs);
    expect((await asked).seq).toBe(seq);
    expect(link.counters().strayAnswers).toBe(2);
  });

  test.each(Object.keys(statusTable).filter((name) => name !== 'ok'))(
    '%s is a refusal in the words of the table',
    async (status) => {
      const { link, probe } = await openLink();
      probe.onRequest = () => status as keyof typeof statusTable;
      const error = await link.request({ type: 'bridge', durationMs: 100 }).catch((e: unknown) => e);
      expect(error).toMatchObject({ code: 'link.refused', status });
      expect((error as Error).message).toContain(statusTable[status as keyof typeof statusTable].help);
      expect(link.counters().refusals).toBe(1);
    },
  );

  test('a refusal that only a newer probe has keeps its number', async () => {
    const { link, probe } = await openLink();
    probe.onRequest = ({ seq }) => {
      probe.payload(128 + 7, seq, 77);
      return null;
    };
    await expect(link.request(tone)).rejects.toMatchObject({ code: 'link.refused', status: 'status 77' });
  });

  test('a field that does not fit fails alone', async () => {
    const { link } = await openLink();
    const wrong = expect(link.request({ type: 'bridge', durationMs: 1e6 })).rejects.toThrow(RangeError);
    const right = link.request(tone);
    await wrong;
    expect((await right).status).toBe('ok');
  });

  test('aborting gives up the answer; the request on the line is still brought to its end', async () => {
    const { link, probe, timers } = await openLink();
    probe.got.length = 0;
    probe.onRequest = () => (probe.got.length === 1 ? null : 'ok');
    const abort = new AbortController();
    const onLine = expect(link.request(tone, abort.signal)).rejects.toThrow('enough');
    const waiting = expect(link.request({ type: 'counters' }, abort.signal)).rejects.toThrow('enough');
    const after = link.request({ type: 'keepAlive' });
    await settle();
    abort.abort(new Error('enough'));
    await Promise.all([onLine, waiting]);
    expect(probe.names).toEqual(['tone']);
    await timers.pass(answerMs);
    await after;
    expect(probe.names).toEqual(['tone', 'tone', 'keepAlive']);
  });

  test('numbers wrap from 255 to 0', async () => {
    const { link, probe } = await openLink();
    for (let i = 0; i < 300; i++) await link.request({ type: 'keepAlive' });
    const seqs = probe.got.map((request) => request.seq);
    seqs.forEach((seq, i) => {
      expect(seq).toBe(i % 256);
    });
  });

  test('an erased calibration area is blank after one read', async () => {
    const { link, probe } = await openLink();
    probe.got.length = 0;
    expect(await link.readCalibration()).toEqual({ state: 'blank' });
    expect(probe.names).toEqual(['calRead']);
  });
});

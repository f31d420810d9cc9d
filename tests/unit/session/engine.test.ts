import { describe, expect, test } from 'vitest';
import type { LinkItem, ProbeLink } from '../../../src/link/probe/probe-link.ts';
import { Engine } from '../../../src/session/engine/engine.ts';
import { runShown, type SessionFace } from '../../../src/session/engine/session-face.ts';
import type { CommonEffect, ReadingWatcher } from '../../../src/session/engine/session-parts.ts';

interface Count {
  seen: string[];
}
type Event = { type: string };
type Effect = CommonEffect | { do: 'work'; what: string };

const deaf: ReadingWatcher<Event> = {
  forget: () => undefined,
  stop: () => undefined,
  readings: () => [],
  probeEvent: () => [],
  gap: ({ cause }) => [{ type: `gap ${cause}` }],
};

/** A session that notes its events; `work` asks for two pieces of work, `leave` ends it. */
function counting(work: (what: string) => Promise<void> = async () => undefined) {
  let tell = (_item: LinkItem): void => undefined;
  let closed = 0;
  const link = { close: async () => void closed++ } as unknown as ProbeLink;
  const engine = new Engine<Count, Event, Effect>({
    state: { seen: [] },
    step(before, { type }) {
      if (type === 'broken') throw new Error('the reducer broke');
      const effects: Effect[] = [];
      if (type === 'work') effects.push({ do: 'work', what: 'first' }, { do: 'work', what: 'second' });
      if (type === 'leave') effects.push({ do: 'finish' });
      return { state: { seen: [...before.seen, type] }, effects };
    },
    watcher: deaf,
    probe: {
      async connect(onItem) {
        tell = onItem;
        return link;
      },
      inForce: () => Promise.reject(new Error('not asked for')),
    },
    found: () => ({ type: 'found' }),
    lost: (why) => ({ type: `lost ${why}` }),
    leave: { type: 'leave' },
    carryOut: (effect) => work(effect.what),
  });
  return { engine, tell: (item: LinkItem) => tell(item), closed: () => closed };
}

describe('the engine', () => {
  test('takes link items and commands in their order, and closes the link at the end', async () => {
    const { engine, tell, closed } = counting();
    const running = engine.run(new AbortController().signal);
    engine.command({ type: 'one' });
    tell({ kind: 'gap', cause: 'closed', missing: null, fromUs: 1, toUs: null, text: '' });
    tell({ kind: 'disconnected', why: 'cable' });
    engine.command({ type: 'leave' });
    expect((await running).seen).toEqual(['one', 'gap closed', 'lost cable', 'leave']);
    expect(closed()).toBe(1);
  });

  test('carries out one effect after another', async () => {
    const log: string[] = [];
    const { engine } = counting(async (what) => {
      log.push(`${what} begins`);
      await Promise.resolve();
      log.push(`${what} ends`);
    });
    const running = engine.run(new AbortController().signal);
    engine.command({ type: 'work' });
    engine.command({ type: 'leave' });
    await running;
    expect(log).toEqual(['first begins', 'first ends', 'second begins', 'second ends']);
  });

  test('gives every subscriber the same states in the same order, even when one of them answers at once', async () => {
    const { engine } = counting();
    const seen: string[][] = [[], []];
    engine.states$.subscribe(({ event }) => {
      seen[0]!.push(event.type);
      if (event.type === 'one') engine.command({ type: 'answer' });
    });
    engine.states$.subscribe(({ event }) => seen[1]!.push(event.type));
    const running = engine.run(new AbortController().signal);
    engine.command({ type: 'one' });
    engine.command({ type: 'leave' });
    await running;
    expect(seen).toEqual([
      ['one', 'answer', 'leave'],
      ['one', 'answer', 'leave'],
    ]);
  });

  test('makes the event `leave` of an aborted signal, also of one that was aborted before', async () => {
    const { engine } = counting();
    expect((await engine.run(AbortSignal.abort())).seen).toEqual(['leave']);
  });

  test.each([
    ['a reducer', 'broken', async () => undefined, 'the reducer broke'],
    ['an effect', 'work', () => Promise.reject(new Error('the disk is full')), 'the disk is full'],
  ])('ends with the error of %s, the link closed', async (_what, type, work, message) => {
    const { engine, closed } = counting(work);
    const running = engine.run(new AbortController().signal);
    engine.command({ type });
    await expect(running).rejects.toThrow(message);
    expect(closed()).toBe(1);
  });

  test('leaves the session when a face breaks, closes every face, the last one first, and tells why', async () => {
    const { engine, closed } = counting();
    const log: string[] = [];
    const face = (name: string, broken?: Promise<never>): SessionFace<Count, Event> => ({
      join: () => void log.push(`${name} joins`),
      broken,
      close: async () => void log.push(`${name} closes`),
    });
    const broken = new Error('no terminal');
    const shown = runShown(
      engine,
      [face('lines'), face('screen', Promise.reject(broken))],
      new AbortController().signal,
    );
    await expect(shown).rejects.toBe(broken);
    expect(engine.state.seen).toEqual(['leave']);
    expect(closed()).toBe(1);
    expect(log).toEqual(['lines joins', 'screen joins', 'screen closes', 'lines closes']);
  });
});

// Whom the program accuses on the field recorder, and whom it does not: the commands as a person types them.
import { expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

const guide = new URL('../../../examples/field-recorder.yaml', import.meta.url).pathname;

interface Decided {
  conclusion: string;
  decisions: { id: string; p: number }[];
}

interface Suspected {
  belief: { suspects: { id: string; p: number }[]; decisions: { id: string; p: number }[] };
  conclusion: { kind: string };
}

async function suspected(...readings: string[]): Promise<Suspected> {
  const told = readings.flatMap((reading) => ['--reading', reading]);
  const { code, terminal } = await cli(scratch(), ['suspects', guide, ...told, '--json']);
  expect(code).toBe(0);
  return terminal.json as Suspected;
}

async function concluded(fault: string): Promise<Decided> {
  const sim = ['--port', 'sim:', '--revision', 'B', '--fault', fault, '--seed', '3'];
  const { code, terminal } = await cli(scratch(), ['run', guide, ...sim, '--json']);
  expect(code).toBe(1);
  return (JSON.parse(terminal.outLines.at(-1)!) as { concluded: Decided }).concluded;
}

test('a good ground of 50 mohm, a quarter of what is allowed, accuses nobody', async () => {
  const without = await suspected();
  const { belief, conclusion } = await suspected('ground=50mohm');
  expect(conclusion.kind).toBe('open');
  const none = (of: Suspected['belief']): number => of.decisions.find(({ id }) => id === 'none')!.p;
  // what passes never makes a fault likelier
  expect(none(belief)).toBeGreaterThanOrEqual(none(without.belief));
  expect(belief.decisions[0]!.p).toBeLessThan(0.5);
});

test('a leaky open of 300 kohm at the left spring is a fault that the guide knows', async () => {
  const { belief, conclusion } = await suspected('spring-a=300kohm');
  expect(conclusion.kind).toBe('open');
  const high = belief.suspects.filter(({ id }) => id.endsWith('=high')).slice(0, 2);
  expect(high.map(({ id }) => id).sort()).toEqual(['foot-a=high', 'trace-a=high']);
  for (const { id, p } of belief.suspects.filter((one) => one.id.endsWith('=open'))) {
    expect(p, id).toBeLessThan(high[1]!.p);
  }
});

test('a trace of 1 Mohm convicts the jack board that it is on', async () => {
  const { conclusion, decisions } = await concluded('trace-a=high:1Mohm');
  expect({ conclusion, ids: decisions.map(({ id }) => id) }).toEqual({ conclusion: 'fault', ids: ['jack-board'] });
}, 60_000);

test('a short on the jack board refers no good main board', async () => {
  const { conclusion, decisions } = await concluded('plug-d=short:JB_B');
  if (conclusion === 'fault') expect(decisions[0]!.id).not.toBe('main-board');
  else expect(decisions.map(({ id }) => id)).toContain('jack-board');
}, 60_000);

import type { Evidence } from '../../../src/checks/evidence.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { nextCheck } from '../../../src/isolate/next/next-check.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { predictChannel } from '../../../src/isolate/predict/predict-fast.ts';
import { type Measured, median } from '../benchmark.ts';
import { largeGuide } from './large-guide.ts';

export const name = 'belief-scale';
export const claim =
  'what it takes to open a guide, to take one more reading into the belief and to choose the next check, against the size of the guide: links, and half as many checks';

const sizes = [10, 100, 1000] as const;
/** A session has hands between readings: what a person does not notice. */
const updateBudgetMs = 50;
/** The first one as well, with nothing worked out yet. */
const nextBudgetMs = 500;
const openBudgetMs = 500;
const updates = 12;

interface Row {
  links: number;
  checks: number;
  suspects: number;
  openMs: number;
  updateMs: number;
  longUpdateMs: number;
  firstMs: number;
  nextMs: number;
  /** Next checks that were named, of two. */
  named: number;
  isRight: boolean;
}

/** Returns the times at each size. Updates come one reading after the other, as on the bench; the long one has every check of the guide behind it. */
export async function measure(): Promise<Measured> {
  measureSize(10);
  const rows = sizes.map(measureSize);
  const of = (links: number): Row => rows.find((row) => row.links === links)!;
  const cells = (row: Row): string[] => [
    ...[row.links, row.checks, row.suspects].map(String),
    ...[row.openMs, row.firstMs, row.updateMs, row.longUpdateMs, row.nextMs].map((ms) => ms.toFixed(2)),
  ];
  const heads = ['links', 'checks', 'suspects', 'open ms', 'first next ms', 'update ms', 'after all ms', 'next ms'];
  const line = (those: string[]): string => `  ${those.map((cell) => cell.padStart(13)).join('')}`;
  return {
    figures: [
      {
        what: `one more reading at 1,000 links, of ${updateBudgetMs} ms`,
        value: of(1000).updateMs / updateBudgetMs,
        sense: 'at most',
        target: 1,
      },
      {
        what: `the same with 500 checks behind it, of ${updateBudgetMs} ms`,
        value: of(1000).longUpdateMs / updateBudgetMs,
        sense: 'at most',
        target: 1,
      },
      {
        what: `opening at 1,000 links, of ${openBudgetMs} ms`,
        value: of(1000).openMs / openBudgetMs,
        sense: 'at most',
        target: 1,
      },
      {
        what: `first next check from cold at 1,000 links, of ${nextBudgetMs} ms`,
        value: of(1000).firstMs / nextBudgetMs,
        sense: 'at most',
        target: 1,
      },
      {
        what: `next check at 1,000 links, of ${nextBudgetMs} ms`,
        value: of(1000).nextMs / nextBudgetMs,
        sense: 'at most',
        target: 1,
      },
      {
        what: 'one more reading: 1,000 links against 100',
        value: of(1000).updateMs / of(100).updateMs,
        sense: 'at most',
        target: 40,
      },
      {
        what: 'sizes at which the faulty unit leads in the end',
        value: rows.filter((row) => row.isRight).length,
        sense: 'at least',
        target: sizes.length,
      },
    ],
    work: {
      sizes: rows.length,
      checks: rows.reduce((sum, { checks }) => sum + checks, 0),
      named: rows.every((row) => row.named === 2) ? 2 * rows.length : 0,
    },
    numbers: { 'open ms at 1,000 links': of(1000).openMs },
    lines: [line(heads), ...rows.map((row) => line(cells(row)))],
  };
}

function measureSize(links: number): Row {
  const guide = largeGuide(links);
  const [model, openMs] = timed(() => openModel(guide));
  const none = believe(model, []);
  if ('code' in none) throw new Error(none.what);
  const [first, firstMs] = timed(() => nextCheck(model, none, { power: 'off', access: null, done: [] }));
  const faulty = Math.floor(links * 0.4);
  const evidence = guide.checks.map(({ id }): Evidence => {
    const { channel } = model.table(id)!.channels[0]!;
    const fault = { link: guide.links[faulty]!.id, mode: 'high', ohm: 300 } as const;
    const value = predictChannel(model.circuits, channel, [{ fault, link: faulty }]);
    const quantity = channel.quantity === 'volt' ? 'voltage' : 'resistance';
    const reading = { value, u: 0.005 * Math.abs(value) + 0.002, state: 'in-range' as const };
    return { check: id, kind: quantity, quantity, reading, unsteady: false };
  });
  const update = (count: number): number =>
    timed(() => {
      const belief = believe(model, evidence.slice(0, count));
      if ('code' in belief) throw new Error(belief.what);
      return belief;
    })[1];
  const updateMs = median(Array.from({ length: Math.min(updates, evidence.length) }, (_, k) => update(k + 1)));
  // on the bench the readings before it have been taken in one by one
  update(evidence.length - 1);
  const longUpdateMs = update(evidence.length);
  const early = believe(model, evidence.slice(0, 1));
  const late = believe(model, evidence);
  if ('code' in early || 'code' in late) throw new Error('the evidence is not of the guide');
  const standing = { power: 'off', access: null, done: [evidence[0]!.check] } as const;
  const [next, nextMs] = timed(() => nextCheck(model, early, { ...standing, done: [...standing.done] }));
  return {
    links,
    checks: guide.checks.length,
    suspects: model.suspects.length,
    openMs,
    updateMs,
    longUpdateMs,
    firstMs,
    nextMs,
    named: Number(first !== null) + Number(next !== null),
    isRight: late.decisions[0]!.id === guide.links[faulty]!.unit,
  };
}

function timed<T>(work: () => T): [T, number] {
  const startMs = performance.now();
  return [work(), performance.now() - startMs];
}

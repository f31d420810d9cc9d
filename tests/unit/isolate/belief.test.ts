import { describe, expect, test } from 'vitest';
import type { Evidence, ReadingEvidence } from '../../../src/checks/evidence.ts';
import type { Check, Guide, Link, Repair } from '../../../src/guide/types.ts';
import { believe, type Repaired } from '../../../src/isolate/belief/belief.ts';
import { outcomeChance } from '../../../src/isolate/belief/outcome-rows.ts';
import { outcomeClasses, outcomeProbabilities, outcomeTable } from '../../../src/isolate/belief/outcomes.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { planRepairs } from '../../../src/isolate/repair/repair-plan.ts';
import type { Belief } from '../../../src/isolate/types.ts';
import { circuitGuide } from '../../outside/solver-network.ts';

type LinkOf = Partial<Link> & Pick<Link, 'id' | 'from' | 'to' | 'ohm'>;

function ohms(id: string, a: string, b: string, more: Partial<Check> = {}): Check {
  const limits = { quantity: 'resistance', max: 1 } as const;
  const common = {
    id,
    kind: 'resistance',
    title: id,
    power: 'off',
    minutes: 1,
    prompt: 'p',
    pressed: [],
    level: 'normal',
  } as const;
  return { ...common, pads: [a, b], limits, ...more } as Check;
}

/** Four links in a row, two units and the contact between them. */
function rowGuide(more: { links?: LinkOf[]; checks?: Check[]; repairs?: Repair[] } = {}): Guide {
  const links: LinkOf[] = [
    { id: 'first', from: 'A', to: 'B', ohm: 0.2, kind: 'trace', spread: 0.05, unit: 'left' },
    {
      id: 'contact',
      from: 'B',
      to: 'C',
      ohm: 0.05,
      kind: 'spring',
      spread: 0.2,
      unit: null,
      between: ['left', 'right'],
    },
    { id: 'second', from: 'C', to: 'D', ohm: 0.2, kind: 'trace', spread: 0.05, unit: 'right' },
    ...(more.links ?? []),
  ];
  const guide = circuitGuide(['A', 'B', 'C', 'D', 'E', 'F'], links, {
    ground: 'D',
    rails: [{ id: 'rail', node: 'E', volt: 3, ohm: 1 }],
    inputs: [{ id: 'in', name: 'responds', node: 'A', belowVolt: 1 }],
    checks: [
      ohms('left', 'A', 'B'),
      ohms('middle', 'B', 'C'),
      ohms('right', 'C', 'D'),
      ohms('all', 'A', 'D'),
      ...(more.checks ?? []),
    ],
  });
  guide.units = ['left', 'right'].map((id) => ({ id, name: id, lithium: false }));
  guide.repairs = more.repairs ?? [];
  return guide;
}

const read = (check: string, value: number, more: Partial<ReadingEvidence> = {}): Evidence => ({
  check,
  kind: 'resistance',
  quantity: 'resistance',
  reading: { value, u: 0.005 + 0.01 * value, state: 'in-range' },
  unsteady: false,
  ...more,
});
const open = (check: string): Evidence => read(check, 0, { reading: { value: 10e6, u: 0, state: 'above-range' } });

function told(guide: Guide, evidence: Evidence[], repaired: Repaired[] = []): Belief {
  const belief = believe(openModel(guide), evidence, repaired);
  if ('code' in belief) throw new Error(belief.what);
  return belief;
}

const share = (belief: Belief, decision: string): number => belief.decisions.find(({ id }) => id === decision)?.p ?? 0;
const suspect = (belief: Belief, id: string): number => belief.suspects.find((one) => one.id === id)?.p ?? 0;
const sum = (all: { p: number }[]): number => all.reduce((total, { p }) => total + p, 0);

describe('suspects and decisions', () => {
  test('priors sum to 1, nothing wrong has the share that the guide gives it, and no evidence leaves them as they are', () => {
    const belief = told(rowGuide(), []);
    expect(sum(belief.suspects)).toBeCloseTo(1, 12);
    expect(sum(belief.decisions)).toBeCloseTo(1, 12);
    expect(suspect(belief, 'none')).toBeCloseTo(0.05, 12);
    for (const { p, prior } of belief.suspects) expect(p).toBeCloseTo(prior, 12);
    expect(new Set(belief.decisions.map(({ id }) => id))).toEqual(
      new Set(['none', 'left', 'right', 'left|right', 'unknown']),
    );
  });

  test('weights of a guide override those of the kind, and a short needs a neighbour', () => {
    const guide = rowGuide();
    expect(told(guide, []).suspects.some(({ id }) => id.includes('short'))).toBe(false);
    guide.links[0]!.near = ['C', 'A'];
    guide.links[1]!.weights = { film: 0 };
    const ids = told(guide, []).suspects.map(({ id }) => id);
    expect(ids).toContain('first=short:C');
    expect(ids).not.toContain('first=short:A');
    expect(ids).not.toContain('contact=film');
  });
});

describe('readings', () => {
  test('an open on one stretch accuses what lies on it', () => {
    expect(share(told(rowGuide(), [open('left')]), 'left')).toBeGreaterThan(0.9);
    expect(share(told(rowGuide(), [open('middle')]), 'left|right')).toBeGreaterThan(0.9);
    expect(share(told(rowGuide(), [open('right')]), 'right')).toBeGreaterThan(0.9);
  });

  test('no single reading rules anything out for ever', () => {
    for (const { p } of told(rowGuide(), [open('left')]).suspects) expect(p).toBeGreaterThan(1e-6);
  });

  test('a thousand readings do not underflow', () => {
    const belief = told(
      rowGuide(),
      Array.from({ length: 1000 }, () => open('left')),
    );
    expect(sum(belief.decisions)).toBeCloseTo(1, 9);
    // a pad that the tip does not get through to reads the same, however often
    expect(share(belief, 'left') + share(belief, 'unknown')).toBeGreaterThan(0.999999);
    expect(share(belief, 'left')).toBeGreaterThan(0.9);
  });

  test('a healthy reading clears its stretch, below range and unreadable ones say nothing', () => {
    const before = told(rowGuide(), [open('all')]);
    const after = told(rowGuide(), [open('all'), read('left', 0.2)]);
    expect(share(after, 'left')).toBeLessThan(0.1 * share(before, 'left'));
    const silent = (['below-range', 'unreadable'] as const).map((state) =>
      read('left', 0, { reading: { value: 0, u: 1, state } }),
    );
    for (const one of silent)
      expect(share(told(rowGuide(), [open('all'), one]), 'left')).toBeCloseTo(share(before, 'left'), 6);
  });

  test('unsteady readings favour what comes and goes in their path, settled or not', () => {
    const before = told(rowGuide(), []);
    const gain = (value: number | null, id: string): number => {
      const reading = value === null ? null : { value, u: 0.02 * value, state: 'in-range' as const };
      return suspect(told(rowGuide(), [read('all', 0, { reading, unsteady: true })]), id) / suspect(before, id);
    };
    expect(gain(null, 'contact=intermittent')).toBeGreaterThan(2);
    expect(gain(null, 'contact=weak')).toBeGreaterThan(1.5);
    expect(gain(null, 'first=open')).toBeLessThan(0.5);
    // about as it should be: open now and then; well above: pressing too lightly
    expect(gain(0.5, 'contact=intermittent')).toBeGreaterThan(2);
    expect(gain(4, 'contact=weak')).toBeGreaterThan(2);
  });

  test('dry far above normal is a film', () => {
    const guide = rowGuide({ checks: [ohms('film', 'A', 'D', { kind: 'dry-normal', factor: 2 } as Partial<Check>)] });
    const at = (value: number) => ({ value, u: 0.01 * value, state: 'in-range' as const });
    const film = told(guide, [{ check: 'film', kind: 'dry-normal', dry: at(15e3), normal: at(18) }]);
    expect(suspect(film, 'contact=film')).toBeGreaterThan(0.95);
    const high = told(guide, [{ check: 'film', kind: 'dry-normal', dry: at(18), normal: at(18) }]);
    expect(suspect(high, 'contact=film')).toBeLessThan(0.1);
  });
});

describe('bridges', () => {
  const bridge = {
    ...{
      id: 'bridge',
      kind: 'bridge',
      title: 'b',
      power: 'on',
      minutes: 1,
      prompt: 'p',
      pads: ['A', 'D'],
      pressed: [],
    },
    ...{
      idle: { quantity: 'voltage', min: 2.5, max: 3.2 },
      durationMs: 300,
      collapse: 0.3,
      input: 'in',
      question: '?',
    },
    ...{ answer: 'person', withinMs: 1000 },
  } as Check;
  // E is fed by the rail and pulls the row's end up; the row's other end is ground behind an open switch
  const guide = rowGuide({
    links: [{ id: 'pull', from: 'E', to: 'A', ohm: 10_000, kind: 'resistor', unit: 'right' }],
    checks: [bridge],
  });
  guide.links[2] = { ...guide.links[2]!, kind: 'switch', normally: 'open', weights: { open: 1, stuck: 1 } };
  const answer = (proven: boolean, said: 'yes' | 'no', idle: number | null = null): Evidence => ({
    check: 'bridge',
    kind: 'bridge',
    proven,
    idle: idle === null ? null : { value: idle, u: 0.01, state: 'in-range' },
    answer: said,
  });

  test('one that was not proven says nothing, whatever the device did', () => {
    const before = told(guide, []);
    for (const said of ['yes', 'no'] as const) {
      for (const idle of [null, 3]) {
        for (const { id, p } of told(guide, [answer(false, said, idle)]).suspects)
          expect(p).toBeCloseTo(suspect(before, id), 9);
      }
    }
  });

  test('one that was not closed, for its idle voltage is wrong, speaks by that voltage only, whatever the device did', () => {
    const [yes, no] = (['yes', 'no'] as const).map((said) => told(guide, [answer(false, said, 0)]));
    for (const { id, p } of yes!.suspects) expect(p).toBeCloseTo(suspect(no!, id), 9);
  });

  test('a proven one without a response accuses what lies inward, one with a response clears it', () => {
    const prior = suspect(told(guide, []), 'pull=open');
    expect(suspect(told(guide, [answer(true, 'yes', 3)]), 'pull=open')).toBeLessThan(0.2 * prior);
    expect(suspect(told(guide, [answer(false, 'no', 0)]), 'pull=open')).toBeGreaterThan(prior);
  });
});

describe('eyes', () => {
  const look: Check = {
    ...{
      id: 'look',
      kind: 'look',
      title: 'l',
      power: 'off',
      minutes: 1,
      prompt: 'p',
      question: '?',
      passAnswer: 'yes',
    },
    sees: [{ link: 'contact', mode: 'film' }],
  };
  const guide = rowGuide({ checks: [look] });
  const seen = (answer: 'yes' | 'no' | 'unsure'): Evidence => ({ check: 'look', kind: 'look', answer });

  test("the ratio of a seen suspect to an unseen one is the guide's rates, by Bayes' rule", () => {
    const before = told(guide, []);
    const after = told(guide, [seen('no')]);
    const odds = (belief: Belief): number => suspect(belief, 'contact=film') / suspect(belief, 'first=open');
    expect(odds(after) / odds(before)).toBeCloseTo(0.98 / 0.02, 6);
  });

  test('unsure says nothing; answers that contradict each other cancel and are told', () => {
    const before = told(guide, []);
    expect(suspect(told(guide, [seen('unsure')]), 'contact=film')).toBeCloseTo(suspect(before, 'contact=film'), 9);
    const both = told(guide, [seen('no'), seen('yes')]);
    expect(suspect(both, 'contact=film')).toBeCloseTo(suspect(before, 'contact=film'), 2);
    expect(both.doubt).not.toBeNull();
  });
});

describe('two faults at once', () => {
  test('are found where singles explain the readings badly, and not asked for where one explains all', () => {
    const two = told(rowGuide(), [open('left'), open('right'), read('middle', 0.05), open('left'), open('right')]);
    expect(two.suspects[0]!.faults.map(({ link }) => link).sort()).toEqual(['first', 'second']);
    expect(two.decisions[0]).toMatchObject({ id: 'left + right', units: ['left', 'right'] });
    expect(two.doubt).not.toBeNull();
    const one = told(rowGuide(), [open('left'), read('right', 0.2), read('middle', 0.05)]);
    expect(one.suspects.every(({ faults }) => faults.length < 2)).toBe(true);
    expect(one.doubt).toBeNull();
  });

  test('links side by side, of which both must be open', () => {
    const beside: LinkOf[] = [0, 1].map((k) => ({
      id: `pin-${k}`,
      from: 'D',
      to: 'F',
      ohm: 0.03,
      kind: 'connector',
      unit: 'right',
    }));
    const guide = rowGuide({ links: beside, checks: [ohms('pins', 'D', 'F')] });
    const belief = told(guide, [open('pins'), open('pins')]);
    // what the guide doesn't know may be as likely; of what it knows this is the likeliest
    expect(belief.suspects.find(({ faults }) => faults.length > 0)!.id).toBe('pin-0=open + pin-1=open');
  });
});

describe('repairs', () => {
  const clean: Repair = {
    id: 'clean',
    name: 'clean',
    fixes: [{ link: 'contact', mode: null }],
    price: 1,
    minutes: 1,
    success: 0.8,
  };
  const guide = rowGuide({ repairs: [clean] });
  const fail = open('middle');

  test('move what they mend to nothing wrong by their chance, and leave the rest', () => {
    const before = told(guide, [fail]);
    const after = told(guide, [fail], [{ repair: 'clean' }]);
    expect(suspect(after, 'contact=open')).toBeCloseTo(0.2 * suspect(before, 'contact=open'), 9);
    expect(suspect(after, 'first=open')).toBeCloseTo(suspect(before, 'first=open'), 9);
    expect(share(after, 'none')).toBeCloseTo(share(before, 'none') + 0.8 * share(before, 'left|right'), 9);
  });

  test('the same check after them decides: mended, or still there with a probability that is not zero', () => {
    expect(share(told(guide, [fail, read('middle', 0.05)], [{ repair: 'clean', after: 1 }]), 'none')).toBeGreaterThan(
      0.9,
    );
    const still = told(guide, [fail, fail], [{ repair: 'clean', after: 1 }]);
    expect(still.decisions[0]!.id).toBe('left|right');
    // or it was never the contact: a pad that was not laid bare
    expect(share(still, 'left|right') + share(still, 'unknown')).toBeGreaterThan(0.95);
  });

  test('help less each time they have not: half as often the second time, a third the third time', () => {
    const evidence = [fail, fail, fail];
    const first = told(guide, evidence.slice(0, 1));
    const tried = (times: number) =>
      suspect(told(guide, evidence.slice(0, 1), Array(times).fill({ repair: 'clean' })), 'contact=open') /
      suspect(first, 'contact=open');
    expect(tried(1)).toBeCloseTo(1 - 0.8, 9);
    expect(tried(2)).toBeCloseTo((1 - 0.8) * (1 - 0.8 / 2), 9);
    expect(tried(3)).toBeCloseTo((1 - 0.8) * (1 - 0.8 / 2) * (1 - 0.8 / 3), 9);
  });

  test('that failed come later in the plan, with what chance is left to them', () => {
    const swap: Repair = { ...clean, id: 'swap', name: 'swap', price: 2, minutes: 1, success: 0.9 };
    const both = rowGuide({ repairs: [clean, swap] });
    const planOf = (evidence: Evidence[], repaired: Repaired[]) =>
      planRepairs({ guide: both }, told(both, evidence, repaired)).steps;
    const before = planOf([fail], []);
    expect(before.map(({ repair }) => repair)).toEqual(['clean', 'swap']);
    const after = planOf([fail, fail], [{ repair: 'clean', after: 1 }]);
    expect(after.map(({ repair }) => repair)).toEqual(['swap', 'clean']);
  });

  test('a fail before and a pass after are no contradiction, and no doubt', () => {
    expect(told(guide, [fail, read('middle', 0.05)], [{ repair: 'clean', after: 1 }]).doubt).toBeNull();
    expect(told(guide, [fail, read('middle', 0.05)]).doubt).not.toBeNull();
  });

  test('a unit that was changed is nearly certainly good', () => {
    const before = told(guide, [open('left')]);
    const after = told(guide, [open('left')], [{ unit: 'left' }]);
    expect(share(after, 'left')).toBeLessThan(0.03 * share(before, 'left'));
  });

  test('two faults that one repair is for: each is gone with its chance, and none of the mass is lost', () => {
    const fixes = ['left', 'right'].flatMap((unit) =>
      guide.links.filter((link) => link.unit === unit).map(({ id }) => ({ link: id, mode: null })),
    );
    const all: Repair = { ...clean, id: 'all', fixes: [...clean.fixes, ...fixes] };
    const both = rowGuide({ repairs: [all] });
    // at no pad in common, which would explain both by itself
    const evidence = [open('left'), open('right'), open('left'), open('right')];
    const before = told(both, evidence);
    const pair = before.suspects[0]!;
    expect(pair.faults).toHaveLength(2);
    const after = told(both, evidence, [{ repair: 'all' }]);
    expect(suspect(after, pair.id)).toBeCloseTo((1 - all.success) ** 2 * pair.p, 6);
    expect(share(after, 'none')).toBeGreaterThan(all.success ** 2 * pair.p);
  });

  test('two faults, one of them mended', () => {
    const mend: Repair = { ...clean, id: 'mend', fixes: [{ link: 'second', mode: null }] };
    const evidence = [open('left'), open('right'), open('left'), open('right'), read('right', 0.2), open('left')];
    const belief = told(rowGuide({ repairs: [mend] }), evidence, [{ repair: 'mend', after: 4 }]);
    expect(share(belief, 'left')).toBeGreaterThan(0.9);
  });
});

describe('bad input', () => {
  const model = openModel(rowGuide());
  const code = (evidence: Evidence[], repaired: Repaired[] = []): string | null => {
    const belief = believe(model, evidence, repaired);
    return 'code' in belief ? belief.code : null;
  };

  test('is a problem with a code, never a belief', () => {
    expect(code([open('nowhere')])).toBe('evidence.unknown-check');
    expect(code([{ check: 'left', kind: 'look', answer: 'yes' }])).toBe('evidence.wrong-kind');
    expect(code([read('left', 1, { quantity: 'voltage' })])).toBe('evidence.wrong-kind');
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY])
      expect(code([read('left', value)])).toBe('evidence.not-a-number');
    expect(code([read('left', 1, { reading: { value: 1, u: -1, state: 'in-range' } })])).toBe('evidence.not-a-number');
    expect(code([], [{ repair: 'pray' }])).toBe('repair.unknown');
    expect(code([], [{ unit: 'none' }])).toBe('repair.unknown');
    expect(code([open('left')], [{ unit: 'left', after: 2 }])).toBe('repair.place');
  });

  test('a guide whose circuit is cut in two, or without any link that can fail, is believed like any other', () => {
    const cut = rowGuide({
      links: [{ id: 'island', from: 'E', to: 'F', ohm: 1, kind: 'trace', unit: 'right' }],
      checks: [ohms('far', 'E', 'F', { limits: { quantity: 'resistance', max: 2 } } as Partial<Check>)],
    });
    expect(suspect(told(cut, [open('far')]), 'island=open')).toBeGreaterThan(0.8);
    const dead = circuitGuide(['A', 'B'], []);
    expect(told(dead, []).decisions).toEqual([expect.objectContaining({ id: 'none', p: 1 })]);
  });
});

describe('outcomes to come', () => {
  const guide = rowGuide();
  const model = openModel(guide);

  test('sum to 1 for every suspect, and are what the circuit says', () => {
    model.suspects.forEach(({ id }, s) => {
      const { classes, p } = outcomeProbabilities(model, 'left', s)!;
      expect(p.reduce((total, one) => total + one, 0)).toBeCloseTo(1, 6);
      const at = (name: string): number => p[classes.findIndex((one) => one.id === name)]!;
      if (id === 'none') expect(at('pass')).toBeGreaterThan(0.9);
      if (id === 'first=open') expect(at('open')).toBeGreaterThan(0.9);
      if (id === 'second=open') expect(at('pass')).toBeGreaterThan(0.9);
      if (id === 'first=intermittent') expect(at('unsteady')).toBeGreaterThan(0.7);
    });
    expect(outcomeClasses(model, 'nowhere')).toBeNull();
    expect(outcomeProbabilities(model, 'left', 999)).toBeNull();
  });

  test('go by the order of a belief, and by the ohms that its evidence has told', () => {
    const belief = told(guide, [read('left', 60)]);
    const own = believe(model, belief.evidence);
    if ('code' in own) throw new Error(own.what);
    const mostOf = (belief: Belief | null): number => {
      const table = outcomeTable(model, belief, 'all')!;
      const at = (belief ?? model).suspects.findIndex(({ id }) => id === 'first=high');
      return Math.max(...table.classes.map((_, o) => outcomeChance(table, o, at)));
    };
    expect(mostOf(own)).toBeGreaterThan(0.9);
    expect(mostOf(null)).toBeLessThan(0.7);
    expect(outcomeTable(model, own, 'all')!.rowOf).toHaveLength(own.suspects.length);
  });
});

import { randomOf } from '../../sim/random.ts';
import { courseOf } from '../../src/bench/isolation.ts';
import { loadGuide } from '../../src/guide/load.ts';
import type { Guide, Repair } from '../../src/guide/types.ts';
import { believe } from '../../src/isolate/belief.ts';
import { openModel } from '../../src/isolate/model.ts';
import type { Measured } from './benchmark.ts';
import { drawFaulty, type Sitting, type Specimen, sit } from './population-rig.ts';

export const name = 'population';
export const claim =
  'whole sessions on emulated devices whose faults are drawn from the priors: the unit that is named against the one that is at fault, and the checks it took against the order of the guide';

/** Devices in all; `OHMWRIGHT_POPULATION=30` for a quick look. */
const size = Number(process.env.OHMWRIGHT_POPULATION ?? 500);
/** Healthy devices on top, so many to each faulty one. */
const healthyShare = 0.4;
/** Of every so many faulty devices one is gone through in the guide's order as well. */
const everyInGuideOrder = 10;

const guideNames = ['field-recorder', 'two-stage-key', 'membrane-keypad'] as const;

interface Judged {
  readonly specimen: Specimen;
  readonly sitting: Sitting;
  readonly kind: string;
  /** The conclusion names what is at fault: alone, or in a group that no check of the guide tells apart. */
  readonly isRight: boolean;
  readonly isAlone: boolean;
  /** The first repair of the plan buys a part that mends nothing. */
  readonly buysWrong: boolean;
}

/** Returns the figures over a population of devices; each is one session through firmware, noise and hands. */
export async function measure(): Promise<Measured> {
  const guides = await Promise.all(
    guideNames.map(
      async (one) => (await loadGuide(new URL(`../../examples/${one}.yaml`, import.meta.url).pathname)).guide,
    ),
  );
  const faulty: Judged[] = [];
  const healthy: Judged[] = [];
  const inGuideOrder: { guided: number; informed: number }[] = [];
  for (let at = 0; at < size; at++) {
    const guide = guides[at % guides.length]!;
    const random = randomOf(at, 'population');
    const { fault, decision } = drawFaulty(guide, random);
    const specimen: Specimen = { guide, seed: 50_000 + at, faults: [fault], truth: decision };
    const judged = judge(specimen, await sit(specimen));
    faulty.push(judged);
    if (at % everyInGuideOrder === 0) {
      const guided = await checksInGuideOrder(specimen);
      inGuideOrder.push({ guided, informed: judged.sitting.attempts.length });
    }
    if (Math.floor((at + 1) * healthyShare) > Math.floor(at * healthyShare)) {
      const sound: Specimen = { guide, seed: 80_000 + at, faults: [], truth: 'none' };
      healthy.push(judge(sound, await sit(sound)));
    }
  }
  return figuresOf(guides, faulty, healthy, inGuideOrder);
}

function judge(specimen: Specimen, sitting: Sitting): Judged {
  const { concluded } = sitting;
  const { guide, truth, faults } = specimen;
  const named = concluded?.decisions.map(({ id }) => id) ?? [];
  const isSure = concluded?.conclusion === 'fault' || concluded?.conclusion === 'none';
  const first = guide.repairs.find(({ id }) => id === concluded?.plan.steps[0]?.repair);
  const mends = first?.fixes.some(({ link, mode }) =>
    faults.some((fault) => fault.link === link && (mode === null || mode === fault.mode)),
  );
  return {
    specimen,
    sitting,
    kind: concluded?.conclusion ?? 'left',
    isRight: isSure ? named[0] === truth : named.includes(truth),
    isAlone: isSure,
    buysWrong: concluded?.conclusion === 'fault' && first !== undefined && isPart(guide, first) && mends !== true,
  };
}

/** A repair that buys a part costs what one of the units that it touches costs; cleaning, bending and referring do not. */
function isPart(guide: Guide, repair: Repair): boolean {
  const touched = guide.links.filter((link) => repair.fixes.some((fix) => fix.link === link.id));
  const units = new Set(touched.flatMap((link) => (link.unit === null ? (link.between ?? []) : [link.unit])));
  return guide.units.some(({ id, price }) => units.has(id) && price !== undefined && repair.price >= price);
}

/** Returns how many checks it takes in the guide's order until one decision is probable enough; all of them when none ever is. */
async function checksInGuideOrder(specimen: Specimen): Promise<number> {
  const { guide } = specimen;
  const { job } = await sit(specimen, { order: 'guide' });
  const model = openModel(guide);
  const { evidence } = courseOf(job);
  for (let count = 1; count <= evidence.length; count++) {
    const belief = believe(model, evidence.slice(0, count));
    if ('decisions' in belief && belief.decisions[0]!.p >= guide.confidence) return count;
  }
  return evidence.length;
}

/** Returns the entropy of the decision before any check, in bits: so many yes-or-no checks at least, on average. */
function entropyBits(guide: Guide): number {
  const belief = believe(openModel(guide), []);
  return 'bits' in belief ? belief.bits : Number.NaN;
}

function figuresOf(
  guides: readonly Guide[],
  faulty: readonly Judged[],
  healthy: readonly Judged[],
  inGuideOrder: readonly { guided: number; informed: number }[],
): Measured {
  const share = (of: readonly Judged[], is: (one: Judged) => boolean): number => of.filter(is).length / of.length;
  const mean = (numbers: readonly number[]): number => numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
  const checks = (of: readonly Judged[]): number => mean(of.map(({ sitting }) => sitting.attempts.length));
  const rows = guides.map((guide) => {
    const own = faulty.filter(({ specimen }) => specimen.guide === guide);
    const sound = healthy.filter(({ specimen }) => specimen.guide === guide);
    const cells = [
      own.length,
      share(own, (one) => one.isAlone && one.isRight),
      share(own, (one) => !one.isAlone && one.isRight),
      share(own, (one) => !one.isRight),
      checks(own),
      entropyBits(guide),
      sound.length,
      share(sound, ({ kind }) => kind === 'fault'),
    ];
    return `  ${guide.id.padEnd(20)}${cells.map((cell) => String(Number(cell.toPrecision(3))).padStart(9)).join('')}`;
  });
  const heads = ['faulty', 'named', 'in group', 'wrong', 'checks', 'bits', 'healthy', 'accused'];
  const misses = faulty
    .filter((one) => !one.isRight || one.buysWrong)
    .map(({ specimen, kind, sitting, buysWrong }) => {
      const [fault] = specimen.faults;
      const leading = sitting.concluded?.decisions.map(({ id, p }) => `${id} ${p.toFixed(2)}`).join(', ') ?? 'nothing';
      const ohm = fault?.ohm === undefined ? '' : `:${Number(fault.ohm.toPrecision(2))}ohm`;
      return `  ${buysWrong ? 'buys wrong' : 'misses'} ${specimen.guide.id} seed ${specimen.seed} ${fault?.link}=${fault?.mode}${ohm}: ${kind} ${leading}`;
    });
  return {
    figures: [
      {
        what: 'faulty devices whose faulty unit is named',
        value: share(faulty, (one) => one.isRight),
        sense: 'at least',
        target: 0.98,
      },
      {
        what: 'wrong parts bought, of faulty devices',
        value: share(faulty, (one) => one.buysWrong),
        sense: 'at most',
        target: 0.01,
      },
      {
        what: 'healthy devices accused',
        value: share(healthy, ({ kind }) => kind === 'fault'),
        sense: 'at most',
        target: 0.005,
      },
      {
        what: 'checks, of those in the order of the guide',
        value: mean(inGuideOrder.map(({ informed }) => informed)) / mean(inGuideOrder.map(({ guided }) => guided)),
        sense: 'at most',
        target: 1,
      },
    ],
    numbers: {
      faulty: faulty.length,
      healthy: healthy.length,
      'checks a faulty device': checks(faulty),
      'checks a healthy device': checks(healthy),
      'probe seconds a device': mean([...faulty, ...healthy].map(({ sitting }) => sitting.probeSeconds)),
    },
    lines: [`  ${''.padEnd(20)}${heads.map((head) => head.padStart(9)).join('')}`, ...rows, ...misses],
  };
}

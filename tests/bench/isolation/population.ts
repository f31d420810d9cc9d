import { checkKinds } from '../../../src/checks/registry.ts';
import { loadGuide } from '../../../src/guide/file/load.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import type { Measured } from '../benchmark.ts';
import { inParts } from './in-parts.ts';
import type { Judged } from './population-device.ts';
import { guidePath, populationGuides } from './population-plan.ts';

export const name = 'population';
export const claim =
  'whole sessions on emulated devices whose faults are drawn from the priors: what is named against what is at fault, and the checks it took against the order of the guide';

/** Faulty devices, half as many healthy ones on top; `OHMWRIGHT_POPULATION=500` is the whole of it, about half an hour. */
const size = Number(process.env.OHMWRIGHT_POPULATION ?? 30);

/** Returns the figures over a population of devices; each is one session through firmware, noise and hands, in so many processes as there are processors. */
export async function measure(): Promise<Measured> {
  if (!Number.isInteger(size) || size < 1) throw new Error('OHMWRIGHT_POPULATION must be a whole number from 1');
  const guides = await Promise.all(
    populationGuides.map(async (one) => (await loadGuide(guidePath(one), checkKinds)).guide),
  );
  return figuresOf(guides, await inParts<Judged>('population-child.ts', [String(size)], size));
}

/** Returns the entropy of the decision before any check, in bits: so many yes-or-no checks at least, on average. */
function entropyBits(guide: Guide): number {
  const belief = believe(openModel(guide), []);
  return 'bits' in belief ? belief.bits : Number.NaN;
}

const heads = ['faulty', 'named', 'in group', 'missed', 'checks', 'bits', 'healthy', 'accused'];
const share = (of: readonly Judged[], is: (one: Judged) => boolean): number => of.filter(is).length / of.length;
const mean = (numbers: readonly number[]): number => numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
const isAccused = ({ conclusion }: Judged): boolean => conclusion === 'fault';

function figuresOf(guides: readonly Guide[], judged: readonly Judged[]): Measured {
  const faulty = judged.filter(({ fault }) => fault !== '');
  const healthy = judged.filter(({ fault }) => fault === '');
  const guided = faulty.filter(({ inGuideOrder }) => inGuideOrder !== null);
  const checks = mean(guided.map((one) => one.checks));
  return {
    figures: [
      {
        what: 'faulty devices whose fault is named',
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
      { what: 'healthy devices accused', value: share(healthy, isAccused), sense: 'at most', target: 0.005 },
      {
        what: "checks, of those in the guide's order",
        value: checks / mean(guided.map((one) => one.inGuideOrder!)),
        sense: 'at most',
        target: 1,
      },
    ],
    work: { faulty: faulty.length, healthy: healthy.length },
    numbers: {
      'checks a faulty device': mean(faulty.map((one) => one.checks)),
      'checks a healthy device': mean(healthy.map((one) => one.checks)),
      'probe seconds a device': mean(judged.map((one) => one.probeSeconds)),
    },
    lines: [
      `  ${''.padEnd(20)}${heads.map((head) => head.padStart(9)).join('')}`,
      ...guides.map((guide) => tableRow(guide, faulty, healthy)),
      ...judged.filter((one) => !one.isRight || one.buysWrong).map(missLine),
    ],
  };
}

function tableRow(guide: Guide, faulty: readonly Judged[], healthy: readonly Judged[]): string {
  const own = faulty.filter((one) => one.guide === guide.id);
  const sound = healthy.filter((one) => one.guide === guide.id);
  const cells = [
    own.length,
    share(own, (one) => one.isAlone && one.isRight),
    share(own, (one) => !one.isAlone && one.isRight),
    share(own, (one) => !one.isRight),
    mean(own.map((one) => one.checks)),
    entropyBits(guide),
    sound.length,
    share(sound, isAccused),
  ];
  return `  ${guide.id.padEnd(20)}${cells.map((cell) => String(Number(cell.toPrecision(3))).padStart(9)).join('')}`;
}

function missLine({ guide, seed, fault, conclusion, named, buysWrong }: Judged): string {
  const what = buysWrong ? 'buys wrong' : 'misses';
  return `  ${what}: ${guide}, seed ${seed}, ${fault === '' ? 'healthy' : fault}: ${conclusion} ${named}`;
}

import { type Random, randomOf } from '../../../sim/random.ts';
import { predictChecks } from '../../../src/checks/guides.ts';
import { checkKinds } from '../../../src/checks/registry.ts';
import { loadGuide } from '../../../src/guide/file/load.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { madeGuide } from './made-guide.ts';
import { type PaperJob, sitOnPaper } from './paper-job.ts';
import { type Hands, surestHands, usualHands } from './paper-touch.ts';
import { guidePath, populationGuides } from './population-plan.ts';
import { faulty, faultyAndWorn, type Specimen, twiceFaulty, worn } from './specimen.ts';
import { strange } from './strange-devices.ts';
import { type Verdict, verdictOf } from './verdict.ts';

/** One population of devices. */
interface Row {
  make(guide: Guide, random: Random): Specimen;
  hands: Hands;
  /** Only devices count whose every reading came out inside its limits; others are drawn anew. */
  isAllInside?: boolean;
}

/** What became of one device of a row. */
export interface PaperResult extends Verdict {
  checks: number;
  attempts: number;
  minutes: number;
  doubt: string | null;
  course: string;
}

export const rows = {
  'worn-2': { make: (guide, random) => soundAndWorn(guide, 2, random), hands: surestHands, isAllInside: true },
  'worn-3': { make: (guide, random) => soundAndWorn(guide, 3, random), hands: surestHands, isAllInside: true },
  'worn-5': { make: (guide, random) => soundAndWorn(guide, 5, random), hands: surestHands, isAllInside: true },
  'fault-and-wear': { make: (guide, random) => faultyAndWorn(guide, 4, random), hands: usualHands },
  'two-faults': { make: twiceFaulty, hands: usualHands },
  'not-in-guide': { make: strange, hands: usualHands },
  'in-guide': { make: faulty, hands: usualHands },
} satisfies Record<string, Row>;
export type RowName = keyof typeof rows;

/** So many made-up guides take turns. */
const madeGuides = 16;
const mostDraws = 200;

/** Returns every guide that devices are made of: the examples, and made-up ones by the seed. */
export async function paperGuides(seed: number): Promise<{ examples: Guide[]; made: Guide[] }> {
  const examples = await Promise.all(
    populationGuides.map(async (name) => (await loadGuide(guidePath(name), checkKinds)).guide),
  );
  const made = Array.from({ length: madeGuides }, (_, k) => madeGuide(seed * 1000 + k));
  return { examples, made };
}

/** Goes through the job of device `number` of a row: even numbers are of the examples, odd ones of made-up guides. */
export function paperResult(
  name: RowName,
  { examples, made }: { examples: readonly Guide[]; made: readonly Guide[] },
  seed: number,
  number: number,
): PaperResult {
  const row: Row = rows[name];
  const turn = number >> 1;
  const guide = number % 2 === 0 ? examples[turn % examples.length]! : made[turn % made.length]!;
  const random = randomOf(seed * 1_000_003 + number, name);
  for (let draw = 0; draw < mostDraws; draw++) {
    const specimen = row.make(guide, random);
    const job = sitOnPaper(specimen, row.hands, random);
    if (job.checks === 0) throw new Error(`no check was done on a device of guide '${guide.id}'`);
    if (row.isAllInside === true && !job.isAllPassed) continue;
    return resultOf(specimen, job);
  }
  throw new Error(`no device of guide '${guide.id}' is worn and inside its limits`);
}

function resultOf(specimen: Specimen, { conclusion, checks, attempts, minutes, doubt, course }: PaperJob): PaperResult {
  const outcome = {
    kind: conclusion.kind,
    decisions: conclusion.decisions,
    first: conclusion.plan.steps[0]?.repair ?? null,
    isAtLeast: conclusion.isWhole === false,
  };
  return { ...verdictOf(specimen, outcome), checks, attempts, minutes, doubt, course: course.join(' ') };
}

/**
 * Returns a device without a fault whose contacts all have so many times their ohms, or as many as leave everything inside its limits where that is
 * less.
 */
function soundAndWorn(guide: Guide, times: number, random: Random): Specimen {
  const still = (device: Guide): Guide => ({
    ...device,
    links: device.links.map((link) => ({
      ...link,
      ohm: link.ohm * Math.exp(link.spread * random.normalWithin(2)),
      spread: 0,
    })),
  });
  for (let draw = 0; draw < mostDraws; draw++) {
    const own = still(guide);
    const seed = random.integer(0, 1e9);
    const at = (factor: number): Guide => worn(own, factor, randomOf(seed, 'wear'));
    let factor: number = times;
    while (factor > 1.2 && !isInside(at(factor))) factor *= 0.9;
    const device = at(factor);
    if (!isInside(device)) continue;
    return { guide, device, faults: [], right: [], what: `contacts ${factor.toFixed(2)} times` };
  }
  throw new Error(`no device of guide '${guide.id}' is inside its limits`);
}

function isInside(device: Guide): boolean {
  return predictChecks(device).every(({ insideLimits }) => insideLimits !== false);
}

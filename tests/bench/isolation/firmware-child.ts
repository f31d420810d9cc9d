// One part of a row of emulated devices: ROW, COUNT, SEED, and which part of how many. Prints what became of each, one JSON line each.
import { randomOf } from '../../../sim/random.ts';
import type { PaperResult, RowName } from './paper-rows.ts';
import { paperGuides, rows } from './paper-rows.ts';
import { sit } from './population-rig.ts';
import { verdictOf } from './verdict.ts';

const [name, ...numbers] = process.argv.slice(2) as [RowName, ...string[]];
const [count, seed, part, parts] = numbers.map(Number) as [number, number, number, number];
/** So many devices are drawn at most for one whose every reading comes out inside its limits. */
const mostDraws = 20;
const { examples, made } = await paperGuides(seed);
const guides = [...examples, ...made.slice(0, 3)];

async function resultOf(number: number): Promise<PaperResult> {
  const guide = guides[number % guides.length]!;
  const random = randomOf(seed * 1_000_003 + number, `${name} through firmware`);
  for (let draw = 0; draw < mostDraws; draw++) {
    const specimen = rows[name].make(guide, random);
    const { job, concluded, attempts, probeSeconds } = await sit({ ...specimen, seed: random.integer(1, 2 ** 30) });
    const outcomes = Object.values(job.checks).flatMap(({ outcome }) => outcome ?? []);
    if ('isAllInside' in rows[name] && outcomes.some((outcome) => outcome !== 'pass')) continue;
    const verdict = verdictOf(specimen, {
      kind: concluded?.conclusion ?? 'left',
      decisions: concluded?.decisions ?? [],
      first: concluded?.plan.steps[0]?.repair ?? null,
      isAtLeast: concluded?.isWhole === false,
    });
    const course = Object.values(job.checks).flatMap(({ id, outcome }) =>
      outcome === null ? [] : [`${id}:${outcome}`],
    );
    return {
      ...verdict,
      checks: new Set(attempts).size,
      attempts: attempts.length,
      minutes: probeSeconds / 60,
      doubt: null,
      course: course.join(' '),
    };
  }
  throw new Error(`no device of guide '${guide.id}' came out inside its limits`);
}

for (let number = part; number < count; number += parts) {
  process.stdout.write(`${JSON.stringify(await resultOf(number))}\n`);
}

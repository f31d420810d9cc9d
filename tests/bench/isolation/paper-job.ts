import type { Random } from '../../../sim/random.ts';
import type { Check, Guide } from '../../../src/guide/types.ts';
import type { Conclusion } from '../../../src/isolate/types.ts';
import { freshCheck } from '../../../src/record/state/fold.ts';
import type { CheckState, JobState } from '../../../src/record/state/job-state.ts';
import { isolatorOf } from '../../../src/session/job/guide-isolator.ts';
import type { Isolator } from '../../../src/session/job/isolator.ts';
import { PaperDevice } from './paper-device.ts';
import { type Hands, touch } from './paper-touch.ts';
import type { Specimen } from './specimen.ts';

/** What a job on paper came to. */
export interface PaperJob {
  conclusion: Conclusion;
  doubt: string | null;
  /** Checks gone through, and attempts at them. */
  checks: number;
  attempts: number;
  minutes: number;
  /** Everything that was done passed. */
  isAllPassed: boolean;
  /** What was done, for reading: check and outcome. */
  course: string[];
}

/** An undecided outcome is asked for again as often as a session does. */
const attemptsMax = 3;
/** A pad that is wiped or scratched is bare so often (common practice, no source). */
const wipedBare = 0.8;
/** A job that is not over by then goes round in circles. */
const mostChecks = 200;

const isolators = new WeakMap<Guide, Isolator>();
/** Before any evidence all jobs of a guide begin alike. */
const firsts = new WeakMap<Guide, ReturnType<Isolator['next']>>();

/** Goes through a job on a device as the session does, on paper: each check that is proposed, to the conclusion. No firmware, no hands, no record. */
export function sitOnPaper(specimen: Specimen, hands: Hands, random: Random): PaperJob {
  const { guide } = specimen;
  const isolator = isolators.get(guide) ?? isolatorOf(guide);
  isolators.set(guide, isolator);
  const device = new PaperDevice(specimen, random);
  const states = Object.fromEntries(guide.checks.map((check) => [check.id, unseen(check)]));
  const job = { checks: states, repairs: [], power: 'off' } as unknown as JobState;
  const course: string[] = [];
  // done checks that were asked for once more
  const again: string[] = [];
  let situation: Parameters<Isolator['next']>[2] = { power: 'off', access: null, done: [] };
  let [checks, attempts, minutes] = [0, 0, 0];
  for (;;) {
    const belief = isolator.believe(job);
    if ('what' in belief) throw new Error(belief.what);
    const known = checks === 0 ? firsts.get(guide) : undefined;
    const next = known === undefined ? isolator.next(job, belief, situation) : known;
    if (checks === 0) firsts.set(guide, next);
    if (next === null) {
      const conclusion = isolator.conclude(job, belief, situation);
      const outcomes = Object.values(states).flatMap(({ outcome }) => outcome ?? []);
      const isAllPassed = outcomes.every((outcome) => outcome === 'pass');
      return { conclusion, doubt: belief.doubt, checks, attempts, minutes, isAllPassed, course };
    }
    if (++checks > mostChecks)
      throw new Error(`a job of guide '${guide.id}' goes round in circles: ${course.slice(-8).join(' ')}`);
    const check = guide.checks.find(({ id }) => id === next.check)!;
    minutes += next.minutes;
    if (states[check.id]!.outcome !== null) again.push(check.id);
    const state = states[check.id]!;
    if (next.wipe !== undefined && random.uniform() < wipedBare) device.wipe(next.wipe);
    for (let tries = 1; tries <= attemptsMax; tries++) {
      const { evidence, outcome } = touch(guide, device, check, hands, random);
      attempts++;
      state.attempts.push({ n: attempts, repairs: 0, outcome, evidence } as unknown as CheckState['attempts'][0]);
      state.outcome = outcome;
      course.push(`${check.id}:${outcome}`);
      if (outcome === 'pass' || outcome === 'fail') break;
    }
    const done = guide.checks.map(({ id }) => id).filter((id) => states[id]!.outcome !== null);
    const now = { power: check.power, access: check.access ?? null, done, again: [...again] };
    situation = now;
  }
}

function unseen({ id, title, kind }: Check): CheckState {
  return { ...freshCheck(id), title, kind, inGuide: true };
}

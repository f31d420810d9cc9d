import type { Random } from '../../../sim/random.ts';
import { predictChecks } from '../../../src/checks/guides.ts';
import { faultText } from '../../../src/guide/circuit/faults.ts';
import type { Fault, Guide, Link } from '../../../src/guide/types.ts';
import { listSuspects } from '../../../src/isolate/suspects/suspects.ts';

/** A fault in a device; of a film also what is left of it once it is broken through. */
export interface DeviceFault extends Fault {
  brokenOhm?: number;
}

/** One device of a population: what the bench takes it for, and what it is. */
export interface Specimen {
  /** The guide on the bench. */
  readonly guide: Guide;
  /** The same guide as this device would have it: other ohms, elements that the bench's guide does not hold. Same pads, checks and keys. */
  readonly device: Guide;
  /** Faults of links of the device. */
  readonly faults: readonly DeviceFault[];
  /** Decisions that are right: one of each fault; of what the guide doesn't hold all that touch it; empty: nothing is wrong. */
  readonly right: readonly string[];
  /** What is wrong with it, in words. */
  readonly what: string;
}

/** Kinds of link that wear: two metals that only touch. */
const wearing: readonly Link['kind'][] = ['spring', 'landing', 'connector'];
/** Contacts of one device wear alike, but not the same: one standard deviation of ln ohm (common practice, no source). */
const wearSpread = 0.15;

/** Returns a guide whose contacts have so many times their ohms, each a little more or less. */
export function worn(guide: Guide, times: number, random: Random): Guide {
  return {
    ...guide,
    links: guide.links.map((link) =>
      wearing.includes(link.kind)
        ? { ...link, ohm: link.ohm * Math.max(1, times * Math.exp(wearSpread * random.normalWithin(2))) }
        : link,
    ),
  };
}

/** Draws by weight. */
function drawn<T>(from: readonly T[], weight: (one: T) => number, random: Random): T {
  let left = random.uniform() * from.reduce((sum, one) => sum + weight(one), 0);
  for (const one of from) {
    left -= weight(one);
    if (left < 0) return one;
  }
  return from.at(-1)!;
}

/** Returns a number drawn evenly in the logarithm. */
export function drawnLog(low: number, high: number, random: Random): number {
  return low * (high / low) ** random.uniform();
}

/** Returns whether some check of the guide fails, or is unsteady, on a device with nominal values. */
export function isSeen(device: Guide, faults: readonly Fault[]): boolean {
  return predictChecks(device, { faults: [...faults] }).some(
    ({ insideLimits, unsteady }) => insideLimits === false || unsteady,
  );
}

/** Returns a declared fault of the guide drawn from its priors and the spans of its ohms, of those that some check sees. */
export function drawFault(guide: Guide, random: Random): { fault: DeviceFault; decision: string } {
  const suspects = listSuspects(guide).filter(({ faults }) => faults.length === 1);
  if (suspects.length === 0) throw new Error(`guide '${guide.id}' has no fault to draw`);
  for (let tries = 0; tries < 10_000; tries++) {
    const suspect = drawn(suspects, ({ prior }) => prior, random);
    const { ohm } = drawn(suspect.cells, ({ weight }) => weight, random);
    const known = suspect.faults[0]!;
    const at = (span: { lowOhm: number; highOhm: number }): number => drawnLog(span.lowOhm, span.highOhm, random);
    const fault: DeviceFault = ohm === null ? known : { ...known, ohm: at(ohm.dry) };
    if (known.mode === 'film' && ohm !== null) {
      fault.brokenOhm = ohm.normal.lowOhm === ohm.dry.lowOhm ? fault.ohm! : Math.min(fault.ohm!, at(ohm.normal));
    }
    if (isSeen(guide, [fault])) return { fault, decision: suspect.decision };
  }
  throw new Error(`guide '${guide.id}' has no fault that a check sees`);
}

/** A device with one declared fault, all else as the guide says. */
export function faulty(guide: Guide, random: Random): Specimen {
  const { fault, decision } = drawFault(guide, random);
  return { guide, device: guide, faults: [fault], right: [decision], what: faultText(fault) };
}

/** A device with one declared fault and all contacts worn to so many times their ohms. */
export function faultyAndWorn(guide: Guide, times: number, random: Random): Specimen {
  const one = faulty(guide, random);
  return { ...one, device: worn(guide, times, random), what: `${one.what}, contacts ${times} times` };
}

/** A device with two declared faults that ask for different decisions. */
export function twiceFaulty(guide: Guide, random: Random): Specimen {
  const first = drawFault(guide, random);
  for (let tries = 0; tries < 1000; tries++) {
    const second = drawFault(guide, random);
    if (second.decision === first.decision || second.fault.link === first.fault.link) continue;
    const faults = [first.fault, second.fault];
    return {
      guide,
      device: guide,
      faults,
      right: [first.decision, second.decision],
      what: faults.map(faultText).join(' '),
    };
  }
  throw new Error(`guide '${guide.id}' has no two faults of different units`);
}

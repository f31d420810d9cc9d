import { outcomeChance } from '../belief/outcome-rows.ts';
import type { Model } from '../predict/model.ts';
import { nothingWrong } from '../suspects/suspects.ts';
import { priorOutlook } from './outlook.ts';

/** Suspects that no check of the guide tells apart, each with its share of all faults. */
interface AmbiguityGroup {
  decisions: string[];
  suspects: string[];
  share: number;
}

/**
 * What the checks of a guide are able to find, before any device is on the bench. Shares are of the
 * prior of all faults, 0..1.
 */
export interface Testability {
  /**
   * Share of the faults that make at least one check fail; a fault counts as far as the check that
   * shows it best fails for it.
   */
  detectionRate: number;
  /** Of the faults found: share whose outcomes no fault of another decision shares. */
  isolationRate: number;
  /** Groups of faults found that ask for different decisions, by falling share. */
  ambiguity: AmbiguityGroup[];
  /** Faults that make no check fail, by falling share. */
  unseen: { suspect: string; share: number }[];
  /** Checks whose outcome no fault changes. */
  useless: string[];
  /** Checks that a healthy device does not pass more often than not, as the circuit predicts. */
  outside: string[];
}

/** A fault changes the outcome of a check when it moves at least this much of its probability. */
const leastChange = 0.2;

/**
 * Returns how good the checks of a guide are (terms after IEEE Std 1522: fault detection rate,
 * fault isolation rate, ambiguity groups).
 *
 * A fault's signature is its most probable outcome in every check; faults with one signature are
 * one group. A fault is found when some check probably doesn't pass under it.
 */
export function testability(model: Model): Testability {
  const { guide } = model;
  const outlook = priorOutlook(model);
  const none = outlook.ids.indexOf(nothingWrong);
  const faults = outlook.ids.map((_, s) => s).filter((s) => model.suspects[s]!.link !== -1 && outlook.p[s]! > 0);
  const total = faults.reduce((sum, s) => sum + outlook.p[s]!, 0);
  const share = (s: number): number => (total > 0 ? outlook.p[s]! / total : 0);

  const found = new Set<number>();
  const failing = new Float64Array(faults.length);
  const signature = faults.map(() => new Uint8Array(guide.checks.length));
  const useless: string[] = [];
  const outside: string[] = [];
  guide.checks.forEach((check, at) => {
    const rows = outlook.outcomes(at);
    const passes = outlook.passes(at);
    const passHealthy = passes.reduce((sum, isPass, o) => (isPass ? sum + outcomeChance(rows, o, none) : sum), 0);
    if (passHealthy < 0.5) outside.push(check.id);
    let changes = false;
    for (let k = 0; k < faults.length; k++) {
      const s = faults[k]!;
      let most = 0;
      let pass = 0;
      let moved = 0;
      for (let o = 0; o < passes.length; o++) {
        const p = outcomeChance(rows, o, s);
        if (p > outcomeChance(rows, most, s)) most = o;
        if (passes[o] === true) pass += p;
        moved += Math.abs(p - outcomeChance(rows, o, none)) / 2;
      }
      signature[k]![at] = most;
      if (pass < 0.5) found.add(s);
      // what fails of a healthy device, by hand or eye, finds nothing
      failing[k] = Math.max(failing[k]!, passHealthy > 0 ? 1 - pass / passHealthy : 0);
      changes ||= moved >= leastChange;
    }
    if (!changes) useless.push(check.id);
  });

  const groups = new Map<string, number[]>();
  faults.forEach((s, k) => {
    if (!found.has(s)) return;
    const key = signature[k]!.join();
    groups.set(key, [...(groups.get(key) ?? []), s]);
  });
  let foundShare = 0;
  let isolatedShare = 0;
  const ambiguity: AmbiguityGroup[] = [];
  for (const members of groups.values()) {
    const sum = members.reduce((part, s) => part + share(s), 0);
    const decisions = [...new Set(members.map((s) => outlook.options[outlook.decisionOf[s]!]!.id))];
    foundShare += sum;
    if (decisions.length === 1) isolatedShare += sum;
    else ambiguity.push({ decisions, suspects: members.map((s) => outlook.ids[s]!), share: sum });
  }
  return {
    detectionRate: faults.reduce((sum, s, k) => sum + share(s) * failing[k]!, 0),
    isolationRate: foundShare > 0 ? isolatedShare / foundShare : 0,
    ambiguity: ambiguity.sort((a, b) => b.share - a.share),
    unseen: faults
      .filter((s) => !found.has(s))
      .map((s) => ({ suspect: outlook.ids[s]!, share: share(s) }))
      .sort((a, b) => b.share - a.share),
    useless,
    outside,
  };
}

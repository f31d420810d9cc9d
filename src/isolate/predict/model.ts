import { limitsOf } from '../../checks/registry.ts';
import type { Check, Guide } from '../../guide/types.ts';
import type { EvidenceEffect } from '../belief/evidence-effect.ts';
import { kindModelOf } from '../kinds/registry.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { currentIsolationRules } from '../rules/rules.ts';
import { type CellSuspect, decisionOption, listSuspects } from '../suspects/suspects.ts';
import type { DecisionOption } from '../types.ts';
import { type ChannelTable, channelTable } from './channel-table.ts';
import { type Ways, waysOf } from './likenesses.ts';
import { type Circuits, openCircuits } from './model-circuits.ts';
import { type Marks, type Sights, sightsOf } from './sights.ts';

/** What one check sees under every suspect. */
export interface CheckTable extends Marks {
  check: Check;
  channels: ChannelTable[];
  sights: Sights;
}

/**
 * A guide made ready for isolating: suspects, decisions, and what each check sees under each
 * suspect.
 *
 * Tables are made when a check is first asked about and kept; nothing else in it changes.
 */
export interface Model {
  guide: Guide;
  rules: IsolationRules;
  /** Single-fault suspects, `none` first. */
  suspects: CellSuspect[];
  /** What single faults can ask for, `none` first. */
  decisions: DecisionOption[];
  circuits: Circuits;
  /** Where each suspect's cells begin among all cells; one more at the end. */
  cellStart: Int32Array;
  /** For each cell the suspect that it is of. */
  suspectOf: Int32Array;
  /** Returns what a check sees; null for an id that the guide doesn't have. */
  table(check: string): CheckTable | null;
  /** What pieces of evidence say, by their text: made once. */
  effects: Map<string, EvidenceEffect>;
}

/**
 * Returns the model of a guide under a set of rules. Circuits are factored once for each way in
 * which checks find the device, never for a suspect.
 */
export function openModel(guide: Guide, rules: IsolationRules = currentIsolationRules): Model {
  const suspects = listSuspects(guide, rules);
  const circuits = openCircuits(guide, rules);
  const cellStart = new Int32Array(suspects.length + 1);
  suspects.forEach(({ cells }, s) => {
    cellStart[s + 1] = cellStart[s]! + cells.length;
  });
  const ways = waysOf(suspects);
  const suspectOf = new Int32Array(cellStart[suspects.length]!);
  suspects.forEach((_, s) => {
    suspectOf.fill(s, cellStart[s]!, cellStart[s + 1]!);
  });
  const decisions = [...new Set(suspects.map((one) => one.decision))].map((id) => decisionOption(guide, id));
  const checks = new Map(guide.checks.map((check) => [check.id, check]));
  const tables = new Map<string, CheckTable>();
  return {
    guide,
    rules,
    suspects,
    decisions,
    circuits,
    cellStart,
    suspectOf,
    effects: new Map(),
    table(id) {
      const check = checks.get(id);
      if (check === undefined) return null;
      let table = tables.get(id);
      if (table === undefined) {
        table = checkTable(guide, rules, circuits, suspects, ways, check);
        tables.set(id, table);
      }
      return table;
    },
  };
}

function checkTable(
  guide: Guide,
  rules: IsolationRules,
  circuits: Circuits,
  suspects: readonly CellSuspect[],
  ways: Ways,
  check: Check,
): CheckTable {
  const limits = limitsOf(check);
  const channels = kindModelOf(check)
    .channels(guide, check, rules)
    .map((channel) => channelTable(circuits, suspects, ways, channel, limits, rules));
  const seen = new Set<number>();
  if (check.kind === 'look') {
    suspects.forEach(({ faults }, s) => {
      if (faults.some((fault) => check.sees.some((one) => one.link === fault.link && one.mode === fault.mode)))
        seen.add(s);
    });
  }
  const mute = new Set<number>();
  if (check.kind === 'bridge') {
    suspects.forEach(({ cause }, s) => {
      if (cause?.kind === 'input' && cause.input === check.input) mute.add(s);
    });
  }
  const marks: Marks = { seen, mute, any: ways.any };
  return { check, channels, ...marks, sights: sightsOf(channels, suspects, marks) };
}

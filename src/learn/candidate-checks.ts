import { solveCircuit } from '../guide/circuit/circuit.ts';
import type { CircuitState } from '../guide/circuit/circuit-state.ts';
import { openOhm } from '../guide/circuit/faults.ts';
import type { Guide } from '../guide/types.ts';
import type { SittingTouch } from './sitting-plan.ts';
import type { LearnTable } from './table.ts';
import { touchState } from './touch-state.ts';

interface CandidateCheck {
  id: string;
  pads: [string, string];
  kind?: string;
  minutes: number;
  [field: string]: unknown;
}

const pressesAsked = 10;
/** A closure carries no more than a key does. */
const mostBridgeAmpere = 0.05;

/**
 * Returns the checks that a learned guide may have: the touches of the sitting, presses of each
 * key, and a press imitated where the table says what answers and the current stays that of a key.
 */
export function candidateChecks(table: LearnTable, touches: ReadonlyMap<string, SittingTouch>): CandidateCheck[] {
  const own = [...touches].map(([id, touch]) => checkOf(id, touch));
  const keys = table.guide.keys.flatMap((key) => {
    const pair = keyTouch(table.guide, key, [...touches.values()]);
    if (pair === null) return [];
    const { pads, access } = pair;
    const state = access === null ? {} : { access };
    const presses = {
      id: `presses-${key.id}`,
      kind: 'presses',
      pads,
      key: key.id,
      count: pressesAsked,
      ...state,
      minutes: 2,
    };
    return [presses, ...bridgesOf(table.guide, key.link, [...touches.values()])];
  });
  return [...own, ...keys];
}

function checkOf(id: string, { what, pads, access, pressed }: SittingTouch): CandidateCheck {
  const minutes = pressed.length === 0 ? 1 : 2;
  const state = access === null ? {} : { access };
  const held = pressed.length === 0 ? {} : { pressed };
  const kinds = { value: {}, apart: {}, film: { kind: 'dry-normal' }, steady: { kind: 'steady' } };
  if (what === 'volt') return { id, kind: 'voltage', power: 'on', pads, ...state, minutes };
  return { id, ...kinds[what], pads, ...state, ...held, minutes };
}

/** The touch in which a key makes up most of the path. */
function keyTouch(guide: Guide, key: Guide['keys'][number], touches: readonly SittingTouch[]): SittingTouch | null {
  let best: { touch: SittingTouch; share: number } | null = null;
  const isOpenAtRest = guide.links.find(({ id }) => id === key.link)?.normally === 'open';
  for (const touch of touches) {
    if (!isOpenAtRest || touch.what === 'volt' || !touch.pressed.includes(key.id)) continue;
    const circuit = solveCircuit(guide, touchState(touch));
    const rest = solveCircuit(guide, touchState({ ...touch, pressed: [] })).resistanceOhm(...touch.pads);
    const share = circuit.shares(...touch.pads).find(({ link }) => link === key.link)?.share ?? 0;
    // at rest it has to read well above what it reads when pressed
    if (rest < 10 * circuit.resistanceOhm(...touch.pads)) continue;
    if (best === null || share > best.share) best = { touch, share };
  }
  return best?.touch ?? null;
}

/** Between the two lines of a key, where the device would answer; never a supply or a cell. */
function bridgesOf(guide: Guide, keyLink: string, touches: readonly SittingTouch[]): CandidateCheck[] {
  const held = touches.filter(
    ({ what, pressed }) => what === 'film' && pressed.some((key) => linkOf(guide, key) === keyLink),
  );
  return held.flatMap((touch) => {
    const on: CircuitState = { ...touchState({ ...touch, pressed: [] }), power: 'on' };
    const live = solveCircuit(guide, on);
    const { openVolt, sourceOhm } = live.thevenin(...touch.pads);
    if (sourceOhm >= openOhm || Math.abs(openVolt) / Math.max(1, sourceOhm) > mostBridgeAmpere) return [];
    const pads = openVolt >= 0 ? touch.pads : ([touch.pads[1], touch.pads[0]] as [string, string]);
    const [padA, padB] = pads;
    const closed = solveCircuit(guide, { ...on, bridge: { padA, padB, ohm: 1 } });
    const input = guide.inputs.find(({ id }) => closed.responds(id) && !live.responds(id));
    if (input === undefined) return [];
    const state = touch.access === null ? {} : { access: touch.access };
    const question = `Did the device respond (${input.name})?`;
    return [{ id: `bridge-${input.id}`, kind: 'bridge', pads, ...state, input: input.id, question, minutes: 2 }];
  });
}

function linkOf(guide: Guide, key: string): string | undefined {
  return guide.keys.find(({ id }) => id === key)?.link;
}

import { judge } from '../../checks/registry.ts';
import type { Calibration } from '../../measure/types.ts';
import { flagBits } from '../../protocol/table.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import type { Compared } from '../finding.ts';
import { bare, type Discrepancy, decided, isSameReading, type Rederivation, shown } from './rederive-reading.ts';

type BridgeEntry = EntryOf<'bridge'>;

/**
 * Returns how a bridge check compares with its raw codes: the idle voltage, whether the closure is
 * proven, and the outcome.
 */
export function rederiveBridge(entry: BridgeEntry, calibration: Calibration | null): Rederivation {
  const claims = decided.includes(entry.outcome);
  const found: Rederivation = { discrepancies: [], derived: 0, withheld: claims ? 0 : 1 };
  const say: Say = (code, what, compared) => void found.discrepancies.push({ code, what, compared });
  const { idle, closed } = entry;
  if (entry.proven && closed === null) say('derive.proven', 'the entry says proven without a closure to show for it');
  if ((entry.answer === null) !== (entry.by === null))
    say('derive.outcome', 'an answer and who gave it belong together');
  lightFindings(entry, say);
  if (idle === null) {
    if (claims) say('derive.outcome', `the entry says ${entry.outcome} without any codes to show for it`);
    return found;
  }
  flagFindings(entry, say);
  if (calibration === null) return found;
  const { answer, respondedBefore, delayUs, limits, rule, durationMs, collapse } = entry;
  const response = answer === null ? null : { answer, respondedBefore, delayUs };
  const against = { calibration, limits, rule, durationMs, collapse };
  const judged = judge('bridge', { idle: { window: idle.window }, closed, response, ...against });
  const { reading: idleReading, proof } = judged;
  if (!isSameReading(idle.reading, idleReading)) {
    say('derive.reading', `the idle codes give ${shown(idleReading)}, the entry says ${shown(idle.reading)}`, {
      stands: idle.reading,
      due: bare(idleReading),
    });
  }
  if (proof !== null && closed !== null) {
    const same =
      closed.reading === null || proof.reading === null
        ? closed.reading === proof.reading
        : isSameReading(closed.reading, proof.reading);
    if (!same)
      say('derive.reading', `the closed codes give ${shown(proof.reading)}, the entry says ${shown(closed.reading)}`, {
        stands: closed.reading,
        due: proof.reading === null ? null : bare(proof.reading),
      });
    if (proof.proven !== entry.proven) {
      say(
        'derive.proven',
        `the codes ${proof.proven ? 'prove the closure' : `do not prove it (${proof.why})`}, the entry says otherwise`,
        { stands: entry.proven, due: proof.proven },
      );
    }
  }
  if (!claims) return found;
  found.derived = 1;
  if (judged.outcome !== entry.outcome) {
    say(
      'derive.outcome',
      `the codes and the answer give ${judged.outcome} (${judged.why}), the entry says ${entry.outcome}`,
      { stands: entry.outcome, due: judged.outcome },
    );
  }
  return found;
}

type Say = (code: Discrepancy['code'], what: string, compared?: Compared) => void;

/** Idle readings are of the open tips, closed ones of the bridge, both of volts. */
function flagFindings({ idle, closed }: BridgeEntry, say: Say): void {
  const has = (bits: number, mask: number): boolean => (bits & mask) !== 0;
  if (idle !== null && (!has(idle.window.flagBits, flagBits.voltage) || has(idle.window.flagBits, flagBits.bridge))) {
    say('evidence.mode', 'the idle codes are not of the voltage across open tips');
  }
  const wrong = closed?.windows.some(
    ({ flagBits: bits }) => !has(bits, flagBits.voltage) || !has(bits, flagBits.bridge),
  );
  if (wrong === true) say('evidence.mode', 'some closed codes are not of the voltage across the closed bridge');
}

/** What the light sensor is said to have seen must stand among its events. */
function lightFindings(entry: BridgeEntry, say: Say): void {
  const { by, answer, light, closed, withinMs, delayUs } = entry;
  if (by !== 'light') return;
  const fromUs = closed?.closedUs ?? Number.POSITIVE_INFINITY;
  const first = light.find(({ tUs }) => tUs > fromUs && tUs <= fromUs + withinMs * 1000);
  // unsure: something of the probe did not arrive, perhaps the change itself
  if (answer !== (first === undefined ? 'no' : 'yes') && !(first === undefined && answer === 'unsure')) {
    say(
      'derive.outcome',
      `the light ${first === undefined ? 'did not change' : 'changed'} in time, the entry says ${answer}`,
    );
  }
  if (first !== undefined && delayUs !== first.tUs - fromUs) {
    say('derive.reading', `the light changed ${first.tUs - fromUs} us after closing, the entry says ${delayUs}`);
  }
}

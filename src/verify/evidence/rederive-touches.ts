import { type ReadWindow, readingOf } from '../../checks/judge-reading.ts';
import { judge } from '../../checks/registry.ts';
import type { Calibration, Level } from '../../measure/types.ts';
import { flagBits } from '../../protocol/table.ts';
import type { EntryOf, StoredCapture, StoredReading } from '../../record/entries/entries.ts';
import type { Compared } from '../finding.ts';
import {
  bare,
  type Discrepancy,
  decided,
  isClose,
  isSameReading,
  type Rederivation,
  shown,
} from './rederive-reading.ts';

type Say = (code: Discrepancy['code'], what: string, compared?: Compared) => void;

/** Returns how a touch at two levels compares with the codes of both. */
export function rederiveDryNormal(entry: EntryOf<'levels'>, calibration: Calibration | null): Rederivation {
  const { found, say, claims } = begin(entry.outcome);
  const { dry, normal } = entry;
  if (dry === null || normal === null) {
    if (claims) say('derive.outcome', `the entry says ${entry.outcome} without codes of both levels to show for it`);
  }
  const again = {
    dry: dry === null ? null : readAgain(dry, 'dry', calibration, say),
    normal: normal === null ? null : readAgain(normal, 'normal', calibration, say),
  };
  if (!claims || again.dry === null || again.normal === null || calibration === null) return found;
  found.derived = 1;
  const { limits, factor, rule } = entry;
  const judged = judge('dry-normal', { dry: again.dry, normal: again.normal, calibration, limits, factor, rule });
  if (judged.outcome !== entry.outcome) {
    say('derive.outcome', `the codes give ${judged.outcome} (${judged.why}), the entry says ${entry.outcome}`, {
      stands: entry.outcome,
      due: judged.outcome,
    });
  }
  return found;
}

/** Returns how a held touch compares with its settled codes and with what was kept of the hold. */
export function rederiveSteady(entry: EntryOf<'steady'>, calibration: Calibration | null): Rederivation {
  const { found, say, claims } = begin(entry.outcome);
  const { capture, hold, span, level } = entry;
  if (capture === null) {
    if (claims) say('derive.outcome', `the entry says ${entry.outcome} without any codes to show for it`);
    if (entry.reading !== null) say('derive.reading', 'the entry has a reading without any codes to show for it');
    return found;
  }
  const settled = readAgain({ capture, reading: entry.reading }, level, calibration, say);
  if (hold?.buckets.some(({ min, max, mean }) => !(min <= mean && mean <= max)) === true) {
    say('evidence.hold', 'a stretch of the hold has a mean outside its least and greatest code');
  }
  if (settled === null || calibration === null) return found;
  const { limits, rule, maxDropOuts, maxWander } = entry;
  const judged = judge('steady', { ...settled, calibration, hold, level, limits, rule, maxDropOuts, maxWander });
  const derived = judged.span;
  const same =
    span === null || derived === null
      ? span === derived
      : (['minOhm', 'medianOhm', 'maxOhm', 'wander'] as const).every((name) =>
          isClose(span[name], derived[name], Math.max(Math.abs(derived[name]), 1e-6)),
        );
  if (!same)
    say('derive.reading', 'what is said of the hold does not follow from its codes', { stands: span, due: derived });
  if (!claims) return found;
  found.derived = 1;
  if (judged.outcome !== entry.outcome) {
    say('derive.outcome', `the codes give ${judged.outcome} (${judged.why}), the entry says ${entry.outcome}`, {
      stands: entry.outcome,
      due: judged.outcome,
    });
  } else if (entry.outcome === 'pass' && hold !== null && hold.heldUs < entry.holdMs * 1000) {
    say('derive.outcome', `the touch was held for ${hold.heldUs} us of ${entry.holdMs} ms, the entry says pass`);
  }
  return found;
}

function begin(outcome: EntryOf<'levels'>['outcome']) {
  const claims = decided.includes(outcome);
  const found: Rederivation = { discrepancies: [], derived: 0, withheld: claims ? 0 : 1 };
  const say: Say = (code, what, compared) => void found.discrepancies.push({ code, what, compared });
  return { found, say, claims };
}

/**
 * The window with the reading that its codes give, compared with the one stored; null without a
 * calibration, which the caller tells.
 */
function readAgain(
  { capture, reading }: { capture: StoredCapture; reading: StoredReading | null },
  level: Level,
  calibration: Calibration | null,
  say: Say,
): ReadWindow | null {
  const { window } = capture;
  if (window.level !== level)
    say('evidence.level', `the codes were read at the ${window.level} level, not at the ${level} one`);
  if ((window.flagBits & flagBits.voltage) !== 0) say('evidence.mode', 'the codes are of a voltage, not of ohms');
  else if ((window.flagBits & flagBits.live) !== 0) say('evidence.live', 'there was a voltage on the tips');
  if (calibration === null) return null;
  const derived = readingOf({ window }, calibration);
  if (reading === null || !isSameReading(reading, derived)) {
    say('derive.reading', `the codes give ${shown(derived)}, the entry says ${shown(reading)}`, {
      stands: reading,
      due: bare(derived),
    });
  }
  return { window, reading: derived };
}

import { stringify } from 'csv-stringify/sync';
import { serialText } from '../../protocol/probe-serial.ts';
import type { Entry } from '../../record/entries/entries.ts';
import type { JobState } from '../../record/state/job-state.ts';

const columns = [
  'job',
  'device',
  'revision',
  'serial',
  'ticket',
  'entry',
  'time_utc',
  'check',
  'title',
  'kind',
  'attempt',
  'phase',
  'outcome',
  'quantity',
  'value',
  'u',
  'dof',
  'state',
  'unit',
  'limit_min',
  'limit_max',
  'probe',
  'calibration',
  'why',
] as const;
type Row = Partial<Record<(typeof columns)[number], string | number>>;

/** One job for a table of readings. */
export interface JobReadings {
  state: JobState;
  entries: readonly Entry[];
}

/**
 * Returns the attempts of jobs as comma-separated values (RFC 4180), a heading first; numbers in
 * full precision, in ohm or volt. A text that a spreadsheet would take for a formula gets a
 * quotation mark before it.
 */
export function readingsCsv(jobs: readonly JobReadings[]): string {
  return stringify(jobs.flatMap(rowsOf), { header: true, columns: [...columns], escape_formulas: true });
}

function rowsOf({ state, entries }: JobReadings): Row[] {
  const sources = new Map(entries.map((entry) => [entry.n, sourceOf(entry)]));
  const opened = state.opened;
  const rows: Row[] = [];
  for (const check of Object.values(state.checks)) {
    for (const { n, at, kind, attempt, phase, outcome, why, reading, limits } of check.attempts) {
      rows.push({
        job: state.job ?? '',
        device: opened === null ? '' : `${opened.device.maker} ${opened.device.name}`,
        revision: opened?.device.revision ?? '',
        serial: opened?.device.serial ?? '',
        ticket: opened?.ticket ?? '',
        entry: n,
        time_utc: at,
        check: check.id,
        title: check.title,
        kind,
        attempt,
        phase,
        outcome,
        quantity: limits?.quantity ?? '',
        ...(reading === null ? {} : { value: reading.value, u: reading.u, dof: reading.dof, state: reading.state }),
        unit: limits === null ? '' : limits.quantity === 'voltage' ? 'V' : 'ohm',
        ...(limits?.min === undefined ? {} : { limit_min: limits.min }),
        ...(limits?.max === undefined ? {} : { limit_max: limits.max }),
        ...sources.get(n),
        why,
      });
    }
  }
  return rows.sort((a, b) => Number(a.entry) - Number(b.entry));
}

function sourceOf(entry: Entry): Row {
  const source = 'capture' in entry ? entry.capture : 'probeSerial' in entry ? entry : null;
  return source === null ? {} : { probe: serialText(source.probeSerial), calibration: source.calibration };
}

// A job that a person gives up, by the real firmware on the emulated probe, in virtual time.
import { expect, test } from 'vitest';
import { kindsGuide } from '../support/kinds-guide.ts';
import { virtualJob } from '../support/virtual-job.ts';

const reason = 'the customer takes the device back';

test('a job that is abandoned is closed on record with the reason, keeps its captures, and is borne out', {
  timeout: 60_000,
}, async () => {
  const { entries, state, report, of } = await virtualJob({
    guide: kindsGuide(),
    seed: 7,
    onState(_state, event, { session }) {
      if (event.type === 'appended' && 'attempt' in event.entry) session.command({ type: 'abandon', reason });
    },
  });
  expect(state).toMatchObject({ phase: 'closed', ending: { kind: 'abandoned', why: reason } });
  expect(state.job.result).toBe('abandoned');
  expect(of('closed')).toMatchObject([{ result: 'abandoned', why: reason }]);
  expect(entries.filter((entry) => 'attempt' in entry)).toHaveLength(1);
  expect(entries.at(-1)!.kind).toBe('closed');
  expect(report.departures).toEqual([]);
});

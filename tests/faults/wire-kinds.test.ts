// Bridges, film checks and holds over a bad wire: what is lost may leave a check undecided, but turns no verdict round.
import { describe, expect, test } from 'vitest';
import type { WireFaultRates } from '../../sim/index.ts';
import { kindsGuide } from '../support/kinds-guide.ts';
import { virtualJob } from '../support/virtual-job.ts';

const truth: Record<string, { faults: string[]; verdicts: Record<string, string> }> = {
  healthy: { faults: [], verdicts: { film: 'pass', hold: 'pass', press: 'pass', lamp: 'pass' } },
  'dead behind 20 kohm': {
    faults: ['contact=high:20kohm'],
    verdicts: { film: 'fail', hold: 'fail', press: 'fail', lamp: 'fail' },
  },
};
const undecided = ['borderline', 'unsteady', 'no-contact', 'live'];

const troubles: Record<string, WireFaultRates> = {
  'loses bytes': { lost: 1e-3 },
  'does all of it': { lost: 4e-4, flipped: 4e-4, doubled: 4e-4 },
};

describe.each(Object.entries(troubles))('a wire that %s', { timeout: 120_000 }, (_, rates) => {
  test.each(Object.entries(truth))(
    'never turns a verdict round: a device that is %s',
    async (_name, { faults, verdicts }) => {
      const { entries, report, of } = await virtualJob({ guide: kindsGuide(), seed: 2, faults, rates });
      expect(report.departures).toEqual([]);
      expect(of('gap').length).toBeGreaterThan(0);
      const attempts = entries.flatMap((entry) => ('attempt' in entry ? [entry] : []));
      expect(attempts.length).toBeGreaterThanOrEqual(4);
      for (const { check, outcome, n } of attempts) {
        expect([verdicts[check], ...undecided], `entry ${n}, ${check}`).toContain(outcome);
      }
    },
  );
});

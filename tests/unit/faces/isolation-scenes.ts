import type { Belief, Conclusion } from '../../../src/isolate/types.ts';
import type { Isolator } from '../../../src/session/job/isolator.ts';
import { captured, lift, make } from '../../support/dry-bench.ts';
import { DrySession, recorderGuide } from './scenes.ts';

const decisions: Belief['decisions'] = [
  { id: 'jack-board', name: 'jack board', units: ['jack-board'], p: 0.872 },
  {
    id: 'jack-board|key-unit',
    name: 'contacts between record key unit and jack board',
    units: ['jack-board', 'key-unit'],
    p: 0.09,
  },
  { id: 'main-board', name: 'main board', units: ['main-board'], p: 0.03 },
  { id: 'key-unit', name: 'record key unit', units: ['key-unit'], p: 0.006 },
  { id: 'none', name: 'nothing is wrong', units: [], p: 0.002 },
];

const belief: Belief = { suspects: [], decisions, evidence: [], bits: 0.7, doubt: null };

const conclusion: Conclusion = {
  kind: 'group',
  decisions: decisions.slice(0, 2),
  reasons: [
    'Left spring to the board connector (S1 to J1) read above 10 Mohm, wanted at most 0.6 ohm: so the path through the left spring is open.',
    'Record key, held down (K1 to K2) read 0.8 ohm, so the record key unit is cleared.',
    'Key line against its ground read 1.79 V: the main board is cleared.',
  ],
  plan: {
    steps: [
      { repair: 'new-jack-board', name: 'fit a new jack board', p: 0.84, price: 31.5, minutes: 18, fixes: [] },
      {
        repair: 'clean',
        name: 'clean the contact pads and the crowns of the springs',
        p: 0.08,
        price: 0.4,
        minutes: 6,
        fixes: [],
      },
      { repair: 're-tension', name: 'bend the springs up a little', p: 0.03, price: 0, minutes: 5, fixes: [] },
    ],
    expectedPrice: 28.22,
    expectedMinutes: 19.4,
    left: 0.05,
    usual: { repair: 'new-key', name: 'fit a new key unit', expectedPrice: 37.4, expectedMinutes: 27 },
  },
  notTested: ['presses', 'supply', 'key-idle'],
  isWhole: null,
  beyond: 'a known-good jack board to swap in.',
};

/** Tells suspects apart as the conclusion above does, once something failed; before that it wants the left spring, then the key line. */
function recorderIsolator(): Isolator {
  const order = ['spring-a', 'spring-b', 'path-through'];
  return {
    believe: () => belief,
    next(job, _belief, { done }) {
      const failed = Object.values(job.checks).some((check) => check.outcome === 'fail');
      const check = failed || job.repairs.length > 0 ? undefined : order.find((id) => !done.includes(id));
      const because = 'It tells the jack board from the main board: 0.62 bit in 3 min, with getting to the springs.';
      return check === undefined ? null : { check, bits: 0.62, minutes: 3, because };
    },
    conclude: () => conclusion,
  };
}

/** A session by the recorder's guide, in the order of information. */
export function isolating(): DrySession {
  return new DrySession(recorderGuide(), {
    isolator: recorderIsolator(),
    settings: { order: 'information' },
  }).opened();
}

/** Asked what is to be done about the conclusion. */
export function concluded(): DrySession {
  const at = isolating();
  at.bench.happen(make, captured(2e7), lift);
  return at;
}

import type { TipContact } from '../../session/engine/recent-readings.ts';

/** What is between the tips, in a few words. */
export const contactTexts: Record<TipContact, string> = {
  none: 'no readings',
  live: 'voltage on tips',
  air: 'tips in the air',
  'a-only': 'only tip A on',
  'b-only': 'only tip B on',
  open: 'path open',
  closed: 'both tips on',
};

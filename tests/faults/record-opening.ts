import { sha256 } from '../../src/record/chain/chain.ts';
import type { Opening } from '../../src/record/entries/entries.ts';

const text = 'id: demo-lamp\n';

/** What a job is opened with where the content does not matter. */
export const opening: Opening = {
  tool: 'ohmwright 0.0.0-test',
  guide: { id: 'demo-lamp', title: 'Pocket lamp', sha256: sha256(text), text, checks: [] },
  device: { maker: 'Quillon', name: 'Lamp', revision: 'B' },
  revision: { holds: true },
};

import type { StoredOf } from '../../record/kinds/stored-kinds.ts';
import { whyText } from '../words/outcome.ts';
import { attempted, dwellLines, holdStill, type KindWords } from './kind-words.ts';

/** The probe joins two pads of the live device, and the device answers. */
export const bridgeWords: KindWords<'bridge'> = {
  stay: (check) => [
    ...dwellLines(check),
    `Stay on: the probe itself joins the pads for ${check.durationMs} ms. Watch the device.`,
  ],
  action({ stage, kindProgress }, check) {
    if (stage === 'touching') return holdStill(check);
    if (stage !== 'closing') return null;
    const idle = kindProgress?.kind === 'bridge' ? `idle ${kindProgress.idle.reading.value.toFixed(2)} V` : '';
    return `Hold still: bridged, ${idle}. Watch it.`;
  },
  step({ stage, kindProgress }) {
    if (kindProgress === null) return null;
    if (stage === 'closing') return 'bridge closed';
    return stage === 'asking' ? 'closed: proven' : null;
  },
  recorded: (entry) => `${attempted(entry)}: ${whyText(entry.why)}${answeredText(entry)}`,
};

/** The question and its answer, and who gave it; a light sensor answers without being asked. */
function answeredText({ question, answer, by }: StoredOf<'bridge'>): string {
  if (answer === null || by === null) return '';
  return by === 'light' ? ' (seen by the light sensor)' : ` (${question} ${answer}, ${by})`;
}

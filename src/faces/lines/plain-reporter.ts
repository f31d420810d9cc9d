import type { Guide } from '../../guide/types.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { checkInHand, type JobSessionEvent, type JobSessionState } from '../../session/job/job-session-state.ts';
import { percent } from '../../statistics/percent.ts';
import { becauseOf, beforeRepairOf, suspectRows } from '../../view/job/isolation.ts';
import { conclusionLines } from '../../view/words/conclusion.ts';
import { entryLine } from '../../view/words/entry.ts';
import { promptLines } from '../../view/words/prompt.ts';

/**
 * Tells a session as plain lines, for any terminal and for a pipe: what is asked, what was stored,
 * how the link is.
 */
export class PlainReporter {
  readonly #guide: Guide;
  #say: (line: string) => void;
  #linkText = '';
  #wasConnected = false;
  #task: JobSessionState['tasks'][number] | undefined;
  /** Prompts told so far: one that comes again needs no second telling. */
  readonly #asked = new Set<string>();

  constructor(guide: Guide, say: (line: string) => void) {
    this.#guide = guide;
    this.#say = say;
  }

  prompt(prompt: Prompt): void {
    if (this.#asked.has(prompt.id)) {
      this.#say('  Now as asked before.');
      return;
    }
    this.#asked.add(prompt.id);
    const mark = prompt.act === 'lift' ? ' ' : '>';
    const [first = '', ...more] = promptLines(prompt, this.#guide);
    this.#say(`${mark} ${first}`);
    for (const line of more) this.#say(`    ${line}`);
  }

  state(state: JobSessionState, event: JobSessionEvent): void {
    // before the first connection nothing was lost: readings may come a moment before the session
    // hears of the probe
    this.#wasConnected ||= state.connected;
    if (this.#wasConnected && state.linkText !== this.#linkText) {
      this.#linkText = state.linkText;
      this.#say(
        state.connected
          ? `link: ${state.linkText}`
          : `link: ${state.linkText}; the job is kept, looking for the probe again`,
      );
    }
    if (event.type === 'appended') this.#stored(event.entry, state);
    this.#proposed(state);
  }

  #stored(entry: Entry, state: JobSessionState): void {
    const line = entryLine(entry, repairsNow(state.job).length > 0);
    if (entry.kind === 'concluded') {
      const titleOf = (id: string): string => state.guide.checks.find((check) => check.id === id)?.title ?? id;
      for (const told of conclusionLines(entry, titleOf, repairsNow(state.job).length > 0)) this.#say(told);
    } else if (line !== null) this.#say(line);
    if (!('attempt' in entry)) return;
    const shares = suspectRows(state).map(({ text, share }) => `${text} ${percent(share)}`);
    if (shares.length > 0) this.#say(`  likely: ${shares.join(', ')}`);
  }

  /** Says why a check comes next, once, before it is asked for. */
  #proposed(state: JobSessionState): void {
    const check = checkInHand(state);
    const task = state.tasks[state.at];
    if (task === this.#task) return;
    this.#task = task;
    const because = becauseOf(state);
    if (check !== null && because !== null) this.#say(`next: ${check.title}, because ${because}`);
    const before = beforeRepairOf(state);
    if (check !== null && before !== null)
      this.#say(`again: ${check.title}; before the repair ${before.outcome}, ${before.why}`);
  }
}

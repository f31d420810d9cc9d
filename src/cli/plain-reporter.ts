import type { Prompt } from '../bench/prompt.ts';
import type { BenchEvent, BenchState } from '../bench/state.ts';
import { entryLine } from '../report/entry-line.ts';

/** Tells a session as plain lines, for any terminal and for a pipe: what is asked, what was stored, how the link is. */
export class PlainReporter {
  #say: (line: string) => void;
  #linkText = '';
  #wasConnected = false;
  /** Prompts told so far: one that comes again needs no second telling. */
  readonly #asked = new Set<string>();

  constructor(say: (line: string) => void) {
    this.#say = say;
  }

  prompt(prompt: Prompt): void {
    if (this.#asked.has(prompt.id)) {
      this.#say('  Now as asked before.');
      return;
    }
    this.#asked.add(prompt.id);
    const mark = prompt.act === 'lift' ? ' ' : '>';
    this.#say(`${mark} ${prompt.text.replaceAll('\n', '\n    ')}`);
  }

  state(state: BenchState, event: BenchEvent): void {
    // before the first connection nothing was lost: readings may come a moment before the session hears of the probe
    this.#wasConnected ||= state.connected;
    if (this.#wasConnected && state.linkText !== this.#linkText) {
      this.#linkText = state.linkText;
      this.#say(
        state.connected
          ? `link: ${state.linkText}`
          : `link: ${state.linkText}; the job is kept, looking for the probe again`,
      );
    }
    if (event.type !== 'appended') return;
    const line = entryLine(event.entry);
    if (line !== null) this.#say(line);
  }
}

import type { AskedView, StoredView, ToldView } from '../../view/job/told.ts';

/** Tells a session as plain lines, for any terminal and for a pipe: what is new in its view since the last one. */
export class PlainReporter {
  readonly #say: (line: string) => void;
  #linkLine = '';
  #wasConnected = false;
  #task = '';
  #storedN = 0;
  #askedId = '';

  constructor(say: (line: string) => void) {
    this.#say = say;
  }

  /** Takes the next view; none may be left out that has an entry or a prompt. */
  view(view: ToldView): void {
    const { link } = view;
    // before the first connection nothing was lost: readings may come a moment before the session
    // hears of the probe
    this.#wasConnected ||= link.ok;
    if (this.#wasConnected && link.line !== this.#linkLine) {
      this.#linkLine = link.line;
      this.#say(link.line);
    }
    for (const stored of view.stored) if (stored.n > this.#storedN) this.#stored(stored, view.likely);
    if (view.task !== this.#task) {
      this.#task = view.task;
      for (const line of view.proposed) this.#say(line);
    }
    if (view.asked !== null && view.asked.id !== this.#askedId) this.#asked(view.asked);
  }

  #stored({ n, isAttempt, lines }: StoredView, likely: string | null): void {
    this.#storedN = n;
    for (const line of lines) this.#say(line);
    if (isAttempt && likely !== null) this.#say(`  ${likely}`);
  }

  /** What the tips are only to be taken off is no new order, so it has no mark. */
  #asked({ id, act, isAgain, lines }: AskedView): void {
    this.#askedId = id;
    const mark = isAgain || act === 'lift' ? ' ' : '>';
    const [first = '', ...more] = lines;
    this.#say(`${mark} ${first}`);
    for (const line of more) this.#say(`    ${line}`);
  }
}

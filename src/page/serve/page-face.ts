import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { paceFrames } from '../../session/engine/frame-pace.ts';
import type { SessionFace } from '../../session/engine/session-face.ts';
import type { StateChange } from '../../session/engine/session-parts.ts';
import type { PageServer } from './page-server.ts';
import type { Panels } from './viewers.ts';

/** What a page shows of a session. */
export interface SessionPage<State, Event> {
  panels(state: State): Panels;
  /** Sees each change of the state before it is drawn. */
  onState?(change: StateChange<State, Event>): void;
  /** Sees each batch of readings, with the state that it came into. */
  onReadings?(batch: ReadingBatch, state: State): void;
}

/**
 * Returns a page as a face of a session. It draws at a screen's pace and never waits for a browser.
 * It gives no commands. A page that can't be drawn is no reason to leave a job: it stands still.
 */
export function pageFace<State, Event>(
  server: PageServer,
  { panels, onState, onReadings }: SessionPage<State, Event>,
): SessionFace<State, Event> {
  let draw = (): void => undefined;
  const pace = paceFrames(() => draw());
  return {
    join(session) {
      draw = () => server.show(() => panels(session.state));
      pace.changed();
      pace.follow(session.states$, (change) => onState?.(change));
      pace.follow(session.readings$, (batch) => onReadings?.(batch, session.state));
    },
    async close() {
      pace.stop();
      draw();
      await server.close();
    },
  };
}

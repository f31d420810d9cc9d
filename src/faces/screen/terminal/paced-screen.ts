import type { ReactNode } from 'react';
import type { ReadingBatch } from '../../../protocol/reading-batch.ts';
import { type FramePace, paceFrames } from '../../../session/engine/frame-pace.ts';
import type { SessionFace } from '../../../session/engine/session-face.ts';
import type { ShownSession, StateChange } from '../../../session/engine/session-parts.ts';
import type { KeyPress } from '../../../view/job/keyboard.ts';
import type { Terminal } from './terminal.ts';
import { openTerminalScreen } from './terminal-screen.tsx';

/** Size of a frame, in character cells. */
export interface FrameSize {
  cols: number;
  rows: number;
}

/** A screen that is drawn at most once per frame time. */
export interface PacedScreen extends Pick<FramePace, 'changed' | 'follow'> {
  /** Draws now, whatever the pace. */
  draw(): void;
  bell(): void;
  /** Rejects when a frame could not be drawn. */
  readonly broken: Promise<never>;
  /** Gives the terminal back. */
  close(): Promise<void>;
}

/**
 * Takes the terminal over. `frame` gives what is to be seen; null: nothing yet. Each key and each
 * new size is a change.
 */
export function openPacedScreen(
  terminal: Terminal,
  { frame, onKey }: { frame(size: FrameSize): ReactNode; onKey(key: KeyPress): void },
): PacedScreen {
  const draw = (): void => {
    const node = frame(screen.size());
    if (node !== null) screen.show(node);
  };
  const pace = paceFrames(draw);
  const screen = openTerminalScreen(terminal, {
    onKey(key) {
      onKey(key);
      pace.changed();
    },
    onResize: () => pace.changed(),
  });
  return {
    changed: pace.changed,
    follow: pace.follow,
    draw,
    bell: () => screen.bell(),
    broken: screen.broken,
    async close() {
      pace.stop();
      await screen.leave();
    },
  };
}

/** What a session's live screen shows, and what its keys do. */
export interface SessionScreen<State, Event> {
  frame(state: State, size: FrameSize): ReactNode;
  /** Returns what the session is told. */
  onKey(key: KeyPress, state: State): readonly Event[];
  /** Sees each change of the state before it is drawn. */
  onState?(change: StateChange<State, Event>, screen: PacedScreen): void;
  /** Sees each batch of readings, with the state that it came into. */
  onReadings?(batch: ReadingBatch, state: State): void;
}

/**
 * Returns a live screen as the face of a session: states and readings in, frames out, keys back as
 * commands.
 */
export function screenFace<State, Event>(
  terminal: Terminal,
  { frame, onKey, onState, onReadings }: SessionScreen<State, Event>,
): SessionFace<State, Event> & Pick<PacedScreen, 'changed'> {
  let session: ShownSession<State, Event> | null = null;
  const screen = openPacedScreen(terminal, {
    frame: (size) => (session === null ? null : frame(session.state, size)),
    onKey(key) {
      if (session === null) return;
      for (const event of onKey(key, session.state)) session.command(event);
    },
  });
  return {
    broken: screen.broken,
    changed: screen.changed,
    join(joined) {
      session = joined;
      screen.draw();
      screen.follow(joined.states$, (change) => onState?.(change, screen));
      screen.follow(joined.readings$, (batch) => onReadings?.(batch, joined.state));
    },
    close: () => screen.close(),
  };
}

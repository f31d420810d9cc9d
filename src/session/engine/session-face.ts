import type { ShownSession } from './session-parts.ts';

/**
 * Where a session is shown and where its commands come from: plain lines, the live screen, the
 * simulator's hands.
 */
export interface SessionFace<State, Event> {
  /** Subscribes to what it shows, and gives commands from now on. */
  join(session: ShownSession<State, Event>): void;
  /** Rejects when the face itself breaks. The session is then left. */
  readonly broken?: Promise<never> | undefined;
  close?(): Promise<void>;
}

/** A session that can be run. */
export interface RunnableSession<State, Event> extends ShownSession<State, Event> {
  run(signal: AbortSignal): Promise<State>;
}

/**
 * Runs a session to its end, shown by faces, and returns its last state. A face that breaks ends
 * the session as a quit does, so that link and record are closed in their order. Faces are closed
 * in every case, the last one first.
 *
 * @throws whatever the session throws; the reason why a face broke
 */
export async function runShown<State, Event>(
  session: RunnableSession<State, Event>,
  faces: readonly SessionFace<State, Event>[],
  signal: AbortSignal,
): Promise<State> {
  const stop = new AbortController();
  try {
    for (const face of faces) face.join(session);
    const running = session.run(AbortSignal.any([signal, stop.signal]));
    const broken = faces.flatMap((face) => face.broken ?? []);
    try {
      return await Promise.race([running, ...broken]);
    } catch (error) {
      stop.abort();
      await running.catch(() => undefined);
      throw error;
    }
  } finally {
    for (const face of faces.toReversed()) await face.close?.();
  }
}

import type { Timers } from './timers.ts';

/**
 * A way for bytes to and from a probe: a serial port, an emulated probe, a recording. What only
 * some can do is an optional member.
 */
export interface Transport {
  /** Name for people: a port's path, `sim:`, a file. */
  readonly path: string;
  /** Opens it. Many probes reset at that. @throws OhmwrightError `port.*` */
  open(): Promise<void>;
  /** Resolves when the bytes are on their way. */
  write(bytes: Uint8Array): Promise<void>;
  /** Gives every chunk of bytes from the probe, in order. */
  onData(listener: (bytes: Uint8Array) => void): void;
  /** Tells that nothing more will come, with the reason; also after {@link close}. */
  onClose(listener: (why: string) => void): void;
  /** Closes it; a second call does nothing. */
  close(): Promise<void>;
  /** Resets the probe by a control line. Pseudo-terminals have no such lines. */
  pulseReset?(): Promise<void>;
  /**
   * Virtual time only: stops the probe's clock while the host does slow work; the returned function
   * lets it go on.
   */
  hold?(): () => void;
  /**
   * Virtual time only: time-outs by the probe's clock, so that a slow or busy host changes nothing.
   */
  readonly timers?: Timers;
  /** A recording: what is written changes nothing, and no last words are needed. */
  readonly isRecording?: boolean;
}

/** Makes a transport: at connecting, and again for each attempt to reconnect. */
export type TransportSource = () => Transport | Promise<Transport>;

/** A path for bytes to and from a probe. Real ports, the emulated probe and recordings are alike behind it. */
export interface Transport {
  /** Name of the port, for people. */
  readonly path: string;
  /** @throws OhmwrightError `port.*` when it can't be opened */
  open(): Promise<void>;
  write(bytes: Uint8Array): Promise<void>;
  onData(listener: (bytes: Uint8Array) => void): void;
  /** Called once, when the path is gone for another reason than `close`, or by it. */
  onClose(listener: (why: string) => void): void;
  close(): Promise<void>;
  /** Resets the probe by a modem line; ports without such lines do not have it. */
  pulseReset?(): Promise<void>;
  /** Stops a virtual probe's clock until the returned function is called. */
  hold?(): () => void;
  /** True for a recording: nothing that is written changes what comes. */
  readonly isRecording?: boolean;
}

/** Timers and the clock of the host, so that tests run in virtual time. */
export interface HostClock {
  nowMs(): number;
  /** Calls back once after `ms`; returns the way to cancel. */
  after(ms: number, run: () => void): () => void;
}

export const systemClock: HostClock = {
  nowMs: () => performance.now(),
  after(ms, run) {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
};

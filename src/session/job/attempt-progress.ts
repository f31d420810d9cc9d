import type { Hold } from '../../measure/contact/steady-hold.ts';
import type { Closure, ClosureProof } from '../../measure/judge/closure.ts';
import type { CaptureWindow, ContactSummary, Reading } from '../../measure/types.ts';

/** A settled window with its touch and what it reads. */
export interface Settled {
  window: CaptureWindow;
  contact: ContactSummary;
  reading: Reading;
  by: 'settled' | 'button';
}

/** A change of light that the probe's sensor told of: probe time and converter code. */
export interface LightChange {
  tUs: number;
  code: number;
}

/** What a try at a check has come to so far, where the check has more than one step. */
export type KindProgress =
  | {
      kind: 'bridge';
      idle: Settled;
      /** Probe time at which the closure was asked for. */
      askedUs: number;
      closure: Closure | null;
      proof: ClosureProof | null;
      /**
       * Something of the probe did not arrive since the idle voltage settled: a change of light may
       * be among it.
       */
      hasGap: boolean;
    }
  | {
      kind: 'dry-normal';
      dry: Settled;
      /** Probe time at which the normal level was set; null before. */
      setUs: number | null;
      /** The normal level has seen the tips on the pads. */
      made: boolean;
    }
  | {
      kind: 'steady';
      settled: Settled;
      /** Why the touch did not settle in its time; null when it did. */
      unsettledWhy: string | null;
      hold: Hold | null;
      /** Readings of the hold are missing: a drop-out may be among them. */
      hasGap: boolean;
    };

/** What the watch tells of closures, holds and light. */
export type KindEvent =
  /** The bridge has opened again, or never closed: all that was read of it. */
  | { type: 'closure'; closure: Closure }
  /** The probe refused to close the bridge; `status` is its word for why. */
  | { type: 'bridge-refused'; status: string }
  | { type: 'hold'; hold: Hold }
  | { type: 'light'; change: LightChange };

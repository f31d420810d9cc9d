import { type HealthSettings, type ProbeHealth, probeHealth } from '../../calibrate/health/probe-health.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import type { ProofKind } from '../../record/entries/entries.ts';
import type { PastProof } from '../../record/state/proof-history.ts';

/**
 * The proofs of one kind, by one probe under one calibration, in order of time, and what they show.
 */
export interface HealthSeries {
  probe: string;
  calibration: string;
  calibrationDate: string | null;
  what: ProofKind;
  proofs: PastProof[];
  health: ProbeHealth;
  /**
   * Times of the first proof of the drift, and of the first one outside the limits; null without a
   * drift.
   */
  beganAt: string | null;
  signalAt: string | null;
  /** Proofs that did not pass. */
  notPassed: number;
}

/**
 * Returns the series that past proofs make, each with what it shows. A new calibration begins a new
 * series; one that was only found past its date does not.
 */
export function healthSeries(proofs: readonly PastProof[], settings: HealthSettings): HealthSeries[] {
  const groups = new Map<string, PastProof[]>();
  for (const proof of [...proofs].sort((a, b) => a.at.localeCompare(b.at))) {
    const key = JSON.stringify([proof.probeSerial, proof.what, proof.calibration.ranges, proof.calibration.leadOhm]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [proof]);
    else group.push(proof);
  }
  return [...groups.values()].map((list) => {
    const read = list.filter((proof): proof is PastProof & { ohm: number } => proof.ohm !== null);
    const found = probeHealth(
      read.map(({ ohm, uRepeatOhm }) => ({ ohm, u: uRepeatOhm })),
      settings,
    );
    const { began = null, signal = null, points = [] } = found.chart ?? {};
    const charted = read.slice(read.length - points.length);
    const { probeSerial, calibration, what } = list.at(-1)!;
    return {
      probe: serialText(probeSerial),
      calibration: calibration.id,
      calibrationDate: calibration.dateIso,
      what,
      proofs: list,
      health: found,
      beganAt: began === null ? null : charted[began]!.at,
      signalAt: signal === null ? null : charted[signal]!.at,
      notPassed: list.filter(({ outcome }) => outcome !== 'pass').length,
    };
  });
}

/**
 * Returns each probe's latest series of each kind: what was before a new calibration is history,
 * and does not say how the probe is now.
 */
export function latestOfEach(series: HealthSeries[]): HealthSeries[] {
  const lastAt = ({ proofs }: HealthSeries): string => proofs.at(-1)!.at;
  return series.filter((one) =>
    series.every((other) => other.probe !== one.probe || other.what !== one.what || lastAt(other) <= lastAt(one)),
  );
}

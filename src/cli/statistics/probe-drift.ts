import { usualHealth } from '../../calibrate/health/probe-health.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import { type PastProof, proofsIn } from '../../record/state/proof-history.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { newestRecords } from '../../verify/folder/newest-records.ts';
import { proofNames } from './health-lines.ts';
import { healthSeries, latestOfEach } from './health-series.ts';

/**
 * So many records hold the usual baseline and some weeks of a busy bench, and are read in a moment.
 */
const mostRecords = 40;

/**
 * Returns the proofs in the latest records of a jobs folder. What can't be read is left out, for a
 * job must not fail by another one's record; `health` tells of it.
 */
export async function latestProofs(folder: string): Promise<PastProof[]> {
  const paths = await newestRecords(folder, mostRecords).catch(() => []);
  const proofs: PastProof[] = [];
  const seen = new Set<string | null>();
  for (const path of paths) {
    const read = await readRecord(path).catch(() => null);
    if (read === null || seen.has(read.identity)) continue;
    seen.add(read.identity);
    proofs.push(...proofsIn(read.entries));
  }
  return proofs;
}

/**
 * Returns in words that a probe's proofs have left their usual limits and still are outside, with
 * the time it began; null when they have not, or are too few to say. A new calibration begins a new
 * history.
 */
export function driftText(proofs: readonly PastProof[], probeSerial: number): string | null {
  const own = proofs.filter((proof) => proof.probeSerial === probeSerial);
  const drifting = latestOfEach(healthSeries(own, usualHealth)).filter(({ health }) => health.state === 'drifting');
  if (drifting.length === 0) return null;
  const which = drifting.map(({ what, beganAt }) => `${proofNames[what]} since about ${beganAt!.slice(0, 10)}`);
  return `DRIFTS: ${which.join(', ')}; see 'health --probe ${serialText(probeSerial)}', then calibrate again`;
}

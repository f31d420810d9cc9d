import { join } from 'node:path';
import type { CalibrationFit } from '../../calibrate/fit/fit-types.ts';
import { pointsText } from '../../calibrate/points/points-text.ts';
import { errnoWords } from '../../errors/errno.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { folderProblem } from '../../files/folder.ts';
import { writeOutput } from '../../files/write-output.ts';
import { LinkError } from '../../link/link-error.ts';
import { writeCalibration } from '../../link/probe/calibration-area.ts';
import type { ProbeLink } from '../../link/probe/probe-link.ts';
import type { Calibration } from '../../measure/types.ts';
import { type CalibrationBlock, checkEntryRange, encodeCalibrationBlock } from '../../protocol/calibration-block.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import { limitTable } from '../../protocol/table.ts';
import { writeCalibrationFile } from '../../record/store/calibration-file.ts';
import { realDisk } from '../../record/store/disk.ts';
import { type CalibrationState, fittedPointsOf, pointsOf } from '../../session/calibration/calibration-state.ts';

/**
 * Makes sure, before anybody sits down to it, that a folder can take a calibration: it is one and
 * may be written to, or can be made.
 *
 * @throws OhmwrightError `calibration.disk`
 */
export async function checkFolder(folder: string): Promise<void> {
  const problem = await folderProblem(folder);
  if (problem !== null) throw notStored(folder, problem);
}

function notStored(folder: string, cause: unknown): OhmwrightError {
  const why = errnoWords(cause);
  return new OhmwrightError('calibration.disk', `The calibration can't be stored in ${folder}: ${why}.`, {
    help: 'What stands there is as it was. See to the folder, or name another with --calibrations.',
    cause,
  });
}

/**
 * Writes the points of a calibration session into the folder, whatever came of them, and returns
 * where. @throws OhmwrightError `calibration.disk`
 */
export async function storePoints(folder: string, state: CalibrationState): Promise<string> {
  const { probeSerial, dateUnixS } = state.meta;
  const stamp = new Date(dateUnixS * 1000)
    .toISOString()
    .slice(0, 19)
    .replaceAll(/[^0-9T]/g, '');
  const name = `${serialText(probeSerial)}-${stamp}`;
  const fitted = fittedPointsOf(state);
  const aside = pointsOf(state).filter((point) => !fitted.includes(point));
  try {
    await realDisk.makeDir(folder);
    const taken = new Set(await realDisk.list(folder));
    let file = `${name}.points.csv`;
    for (let n = 2; taken.has(file); n++) file = `${name}-${n}.points.csv`;
    const path = join(folder, file);
    writeOutput(path, pointsText(fitted, aside));
    return path;
  } catch (error) {
    throw notStored(folder, error);
  }
}

/** Returns calibration and block with the check resistor as it was read. */
export function withCheck(
  fit: CalibrationFit,
  check: CalibrationState['check'],
): { calibration: Calibration & { probeSerial: number }; block: CalibrationBlock } {
  const { calibration, block } = fit;
  if (calibration === null || block === null || calibration.probeSerial === null) {
    throw new Error('a refused fit has no calibration');
  }
  const { probeSerial } = calibration;
  if (check === null) return { calibration: { ...calibration, probeSerial }, block };
  const { ohm, uOhm } = check;
  const cov: [number, number, number, number, number, number] = [0, 0, 0, 0, 0, uOhm ** 2];
  const entry = { range: checkEntryRange, level: 'normal' as const, nOff: 0, nOpen: 1, rsOhm: ohm, cov };
  return {
    calibration: { ...calibration, probeSerial, check },
    block: { ...block, entries: [...block.entries, entry] },
  };
}

/**
 * Writes the host's file and returns its path, and where the one before it is kept. @throws
 * OhmwrightError `calibration.disk`
 */
export async function storeOnHost(
  folder: string,
  state: CalibrationState,
  calibration: Calibration & { probeSerial: number },
  tool: string,
): Promise<{ path: string; keptPath: string | null }> {
  const fit = state.fit!;
  const content = {
    format: 1 as const,
    calibration,
    temperatureC: state.meta.temperatureC,
    evidence: JSON.parse(
      JSON.stringify({ points: fittedPointsOf(state), fit: { ...fit, calibration: null, block: null } }),
    ),
    tool,
  };
  try {
    return await writeCalibrationFile(folder, content);
  } catch (error) {
    throw notStored(folder, error);
  }
}

/**
 * Writes the block into the probe and reads it back. If it does not come back as it went, the area
 * is put back to what it held.
 *
 * @throws OhmwrightError `calibration.not-written`: the sentence says what the probe holds now
 */
export async function storeInProbe(link: ProbeLink, block: CalibrationBlock): Promise<void> {
  const bytes = encodeCalibrationBlock(block);
  const before = await readArea(link);
  const why = await writeAndCompare(link, bytes);
  if (why === null) return;
  const restored = await writeAndCompare(link, before.slice(0, bytes.length));
  const now =
    restored === null
      ? 'what it held before was put back'
      : `what it held before could not be put back either (${restored}), so no calibration in it may be relied on`;
  throw new OhmwrightError('calibration.not-written', `The calibration is not in the probe: ${why}; ${now}.`, {
    help: 'The file on this host was not changed. Check cable and supply, then calibrate with --write-probe again.',
  });
}

async function readArea(link: ProbeLink): Promise<Uint8Array> {
  const { calibrationBytes, dataMaxBytes } = limitTable;
  const bytes = new Uint8Array(calibrationBytes);
  for (let offset = 0; offset < bytes.length; offset += dataMaxBytes) {
    const { data } = await link.request({ type: 'calRead', offset, count: dataMaxBytes });
    bytes.set(data.subarray(0, dataMaxBytes), offset);
  }
  return bytes;
}

/** Null: the area now begins with these bytes. */
async function writeAndCompare(link: ProbeLink, bytes: Uint8Array): Promise<string | null> {
  try {
    await writeCalibration(link, bytes);
    const back = await readArea(link);
    const at = bytes.findIndex((byte, i) => back[i] !== byte);
    return at < 0 ? null : `byte ${at} of ${bytes.length} came back as another`;
  } catch (error) {
    if (!(error instanceof LinkError)) throw error;
    return error.message;
  }
}

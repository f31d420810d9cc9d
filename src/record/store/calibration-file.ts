import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { z } from 'zod';
import { errnoOf, errnoWords } from '../../errors/errno.ts';
import type { Calibration } from '../../measure/types.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import { canonicalJson } from '../chain/canonical.ts';
import { calibrationSchema, sha256Hex, wellFormedText } from '../entries/entry-parts.ts';
import { type Disk, realDisk, syncDir } from './disk.ts';
import { writeBeside } from './write-beside.ts';

export const calibrationEnding = '.owcal.json';
/** Version of the file's format. */
const format = 1;

const contentSchema = z.strictObject({
  format: z.literal(format),
  calibration: calibrationSchema,
  temperatureC: z.number().nullable(),
  /**
   * Points, fit and set that it was made from: for people and for a later fit, never needed to use
   * the calibration.
   */
  evidence: z.json(),
  tool: wellFormedText,
});
const fileSchema = z.strictObject({ ...contentSchema.shape, sha256: sha256Hex });

/** What a calibration file holds, less its digest. */
export type CalibrationContent = z.infer<typeof contentSchema>;

/** A file that was looked for: what is in it, that there is none, or why it is not used. */
export type CalibrationFile =
  | { state: 'held'; path: string; content: CalibrationContent }
  | { state: 'none'; path: string }
  | { state: 'unusable'; path: string; why: string };

/** Returns the file that holds the calibration of a probe on this host. */
export function calibrationPath(folder: string, probeSerial: number): string {
  return join(folder, `${serialText(probeSerial)}${calibrationEnding}`);
}

/**
 * Returns the text of a file: its content with the SHA-256 of its canonical JSON (RFC 8785),
 * indented for people.
 */
export function calibrationText(content: CalibrationContent): string {
  return `${JSON.stringify({ ...content, sha256: calibrationDigest(content) }, null, 1)}\n`;
}

/** Returns what a file's text holds, or in words why it can't be used. */
export function parseCalibrationText(
  text: string,
): { ok: true; content: CalibrationContent } | { ok: false; why: string } {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return { ok: false, why: 'it is no JSON' };
  }
  const parsed = fileSchema.safeParse(data);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    return { ok: false, why: `${issue?.path.join('.') || 'it'}: ${issue?.message ?? 'not a calibration'}` };
  }
  const { sha256, ...content } = parsed.data;
  if (calibrationDigest(content) !== sha256) return { ok: false, why: 'its digest does not match its contents' };
  return { ok: true, content };
}

/**
 * Reads the calibration of a probe from a folder. Never throws: a file that can't be used says why.
 */
export async function readCalibrationFile(
  folder: string,
  probeSerial: number,
  disk: Disk = realDisk,
): Promise<CalibrationFile> {
  const path = calibrationPath(folder, probeSerial);
  let text: string;
  try {
    text = (await disk.read(path, 'calibration')).toString('utf8');
  } catch (error) {
    const code = errnoOf(error);
    if (code === 'ENOENT' || code === 'ENOTDIR') return { state: 'none', path };
    return { state: 'unusable', path, why: `it can't be read (${code || errnoWords(error)})` };
  }
  const parsed = parseCalibrationText(text);
  if (!parsed.ok) return { state: 'unusable', path, why: parsed.why };
  const { probeSerial: whose } = parsed.content.calibration;
  if (whose !== probeSerial)
    return {
      state: 'unusable',
      path,
      why: `it belongs to probe ${whose === null ? 'without a number' : serialText(whose)}`,
    };
  return { state: 'held', path, content: parsed.content };
}

/**
 * Writes the calibration of a probe into a folder and returns its path, and that of the file before
 * it, which is kept under its date. The new file is whole and synced before it takes the name, so
 * that a power cut leaves one of the two.
 *
 * @throws the system's error; what stood there before stands there then
 */
export async function writeCalibrationFile(
  folder: string,
  content: CalibrationContent & { calibration: Calibration & { probeSerial: number } },
  disk: Disk = realDisk,
): Promise<{ path: string; keptPath: string | null }> {
  const { probeSerial } = content.calibration;
  const path = calibrationPath(folder, probeSerial);
  await disk.makeDir(folder);
  const before = await readCalibrationFile(folder, probeSerial, disk);
  const newPath = await writeBeside(disk, path, Buffer.from(calibrationText(content)));
  const keptPath = before.state === 'none' ? null : await keep(path, before, folder, disk);
  await disk.rename(newPath, path);
  await syncDir(disk, folder);
  return { path, keptPath };
}

async function keep(path: string, before: CalibrationFile, folder: string, disk: Disk): Promise<string> {
  const stamp = before.state === 'held' ? (before.content.calibration.dateIso ?? 'undated') : 'unusable';
  const name = path.slice(0, -calibrationEnding.length);
  const plain = stamp.slice(0, 19).replace(/[^0-9A-Za-z]/g, '');
  const names = new Set(await disk.list(folder));
  for (let n = 1; ; n++) {
    const kept = `${name}-${plain}${n === 1 ? '' : `-${n}`}${calibrationEnding}`;
    if (names.has(kept.slice(folder.length).replace(/^[\\/]/, ''))) continue;
    await disk.link(path, kept);
    return kept;
  }
}

/** Returns the SHA-256 of what a file holds: of its canonical JSON (RFC 8785), in hexadecimal digits. */
export function calibrationDigest(content: CalibrationContent): string {
  return createHash('sha256').update(canonicalJson(content)).digest('hex');
}

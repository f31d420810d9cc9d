import { createHash } from 'node:crypto';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { FileError } from '../../files/file-error.ts';
import { readForeignFile } from '../../files/read-file.ts';
import type { CheckKinds } from '../check-kind.ts';
import { type GuidePicture, readGuidePictures } from '../pictures/read-guide-pictures.ts';
import { problemLines } from '../problems/problem.ts';
import { guideErrors } from '../problems/problems.ts';
import type { Guide, GuideProblem } from '../types.ts';
import { parseGuideWith } from './parse.ts';

export interface LoadedGuide {
  guide: Guide;
  /** The file as it was read: a record keeps it whole. */
  text: string;
  /** Of the file's bytes, in hex. */
  sha256: string;
  warnings: GuideProblem[];
}

/**
 * Returns the guide in a file, with its text and its digest. @throws guide.read, guide.encoding,
 * guide.invalid
 */
export async function loadGuide(path: string, kinds: CheckKinds, signal?: AbortSignal): Promise<LoadedGuide> {
  const { bytes, text } = await readGuideFile(path, signal);
  const parsed = parseGuideWith(text, path, kinds);
  if (!parsed.ok) throw invalid(path, parsed.problems);
  return {
    guide: parsed.guide,
    text,
    sha256: createHash('sha256').update(bytes).digest('hex'),
    warnings: parsed.warnings,
  };
}

/** A guide that devices may be judged by. */
export interface SoundGuide extends LoadedGuide {
  /** What stands beside the guide's file. */
  pictures: GuidePicture[];
}

/**
 * Returns the guide in a file that devices are to be judged by: as `loadGuide`, and refused when a
 * check of it is worthless or unsafe, for then a healthy device fails it (or a closure carries too
 * much).
 *
 * @throws as `loadGuide`; guide.invalid
 */
export async function loadSoundGuide(path: string, kinds: CheckKinds, signal?: AbortSignal): Promise<SoundGuide> {
  const loaded = await loadGuide(path, kinds, signal);
  const errors = guideErrors(loaded.guide, kinds);
  if (errors.length > 0) throw invalid(path, errors);
  return { ...loaded, pictures: await readGuidePictures(loaded.guide, path) };
}

function invalid(path: string, problems: readonly GuideProblem[]): OhmwrightError {
  return new OhmwrightError('guide.invalid', problemLines(path, problems), {
    help: `mend the file, then try: ohmwright guide check ${path}`,
  });
}

/**
 * Returns the text of a guide file and its bytes, which are UTF-8: so a digest of either is a
 * digest of both. @throws guide.read, guide.encoding
 */
export async function readGuideFile(path: string, signal?: AbortSignal): Promise<{ bytes: Buffer; text: string }> {
  let bytes: Buffer;
  try {
    bytes = await readForeignFile(path, 'guide', signal);
  } catch (cause) {
    if (!(cause instanceof FileError)) throw cause;
    throw new OhmwrightError('guide.read', `the guide ${path} can't be read: ${cause.why}`, {
      help: 'name the YAML file of a device guide, as in examples/field-recorder.yaml',
      cause,
    });
  }
  try {
    return { bytes, text: new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes) };
  } catch (cause) {
    throw new OhmwrightError('guide.encoding', `the guide ${path} is not UTF-8 text`, {
      help: 'save it in the encoding UTF-8',
      cause,
    });
  }
}

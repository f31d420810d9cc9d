import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { OhmwrightError } from '../../src/errors/ohmwright-error.ts';
import { parseIntelHex } from '../machine/intel-hex.ts';

const imageInProject = 'firmware-protocol/firmware/probe.hex';

/**
 * Returns the path of the image committed with the project, found from this file upwards (so that
 * it works from the built program too).
 */
export function committedImagePath(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    const path = join(folder, imageInProject);
    if (existsSync(path)) return path;
    const parent = dirname(folder);
    if (parent === folder)
      throw new OhmwrightError(
        'sim.image',
        `no firmware image ${imageInProject} above ${fileURLToPath(import.meta.url)}`,
        { help: 'Build it with `npm run firmware`, or give the path of an image.' },
      );
    folder = parent;
  }
}

/**
 * Returns the program memory of an image file (Intel HEX), of the committed one if no path is
 * given. @throws OhmwrightError `sim.image`
 */
export function loadImage(path: string | URL = committedImagePath()): Uint16Array<ArrayBuffer> {
  let text: string;
  try {
    text = readFileSync(path, 'latin1');
  } catch (cause) {
    throw new OhmwrightError(
      'sim.image',
      `can't read the firmware image ${String(path)}: ${cause instanceof Error ? cause.message : String(cause)}`,
      { help: 'Give the path of an Intel HEX file.' },
    );
  }
  return parseIntelHex(text);
}

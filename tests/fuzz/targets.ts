import type { FuzzTarget } from './target.ts';

/**
 * Every parser that meets foreign bytes, by name. Each is loaded by itself, so that only the files
 * that it needs are counted.
 */
const loaders: Readonly<Record<string, () => Promise<FuzzTarget>>> = {
  frames: async () => (await import('./targets/frames.ts')).frames,
  description: async () => (await import('./targets/description.ts')).description,
  'calibration-block': async () => (await import('./targets/calibration-block.ts')).calibrationBlock,
  records: async () => (await import('./targets/records.ts')).records,
  'whole-records': async () => (await import('./targets/whole-records.ts')).wholeRecords,
  guides: async () => (await import('./targets/guides.ts')).guides,
  'resistor-set': async () => (await import('./targets/resistor-set.ts')).resistorSet,
  csv: async () => (await import('./targets/csv.ts')).csv,
  index: async () => (await import('./targets/index-of-records.ts')).index,
  label: async () => (await import('./targets/label.ts')).label,
  'calibration-file': async () => (await import('./targets/calibration-file.ts')).calibrationFile,
  'byte-log': async () => (await import('./targets/byte-log.ts')).byteLog,
};

export const targetNames: readonly string[] = Object.keys(loaders);

/** @param name one of {@link targetNames} */
export function loadTarget(name: string): Promise<FuzzTarget> {
  return loaders[name]!();
}

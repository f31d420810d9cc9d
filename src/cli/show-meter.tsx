import type { Context } from './context.ts';
import type { MeterExport } from './meter-export.ts';
import type { MeterOptions } from './meter.ts';

export async function showMeter(_options: MeterOptions, _file: MeterExport | null, _context: Context): Promise<void> {
  throw new Error('meter screen to come');
}

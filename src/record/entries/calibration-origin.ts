import { z } from 'zod';
import type { CalibrationBlock } from '../../protocol/calibration-block.ts';
import { sha256Hex, wellFormedText } from './entry-parts.ts';

const finite = z.number();

const blockSchema = z.strictObject({
  probeSerial: z.int().min(0),
  dateUnixS: z.int().min(0),
  validDays: z.int().min(0),
  temperatureC: finite,
  setId: wellFormedText,
  entries: z.array(
    z.strictObject({
      range: z.int().min(0),
      level: z.enum(['normal', 'dry', 'voltage']),
      nOff: finite,
      nOpen: finite,
      rsOhm: finite,
      cov: z.tuple([finite, finite, finite, finite, finite, finite]),
    }),
  ),
}) satisfies z.ZodType<CalibrationBlock, CalibrationBlock>;

/**
 * What a calibration was made from, since format 2: the block that the probe carries, whole, or the
 * digest of the host's file. So nobody gives one calibration the name of another.
 */
export const calibrationOriginSchema = z.discriminatedUnion('of', [
  z.strictObject({ of: z.literal('block'), block: blockSchema }),
  z.strictObject({ of: z.literal('file'), sha256: sha256Hex }),
]);
export type CalibrationOrigin = z.infer<typeof calibrationOriginSchema>;

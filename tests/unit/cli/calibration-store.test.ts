import { describe, expect, test } from 'vitest';
import { storeInProbe } from '../../../src/cli/calibration/calibration-store.ts';
import type { ProbeLink } from '../../../src/link/probe/probe-link.ts';
import {
  type CalibrationBlock,
  decodeCalibrationBlock,
  encodeCalibrationBlock,
} from '../../../src/protocol/calibration-block.ts';
import type { Request } from '../../../src/protocol/messages.ts';
import { limitTable } from '../../../src/protocol/table.ts';

const block = (setId: string): CalibrationBlock => ({
  probeSerial: 77,
  dateUnixS: 1_767_225_600,
  validDays: 365,
  temperatureC: 23,
  setId,
  entries: [{ range: 2, level: 'normal', nOff: 330, nOpen: 13_400, rsOhm: 1001.5, cov: [0.5, 0.1, 0, 0.9, 0, 0.04] }],
});

/** A probe's memory; `spoil` says what becomes of the bytes of a write. */
class Memory {
  readonly area = new Uint8Array(limitTable.calibrationBytes).fill(0xff);
  writes = 0;
  spoil: (write: number, data: Uint8Array) => Uint8Array = (_, data) => data;

  get link(): ProbeLink {
    const request = async (asked: Request): Promise<unknown> => {
      if (asked.type === 'calRead')
        return { offset: asked.offset, data: this.area.slice(asked.offset, asked.offset + asked.count) };
      if (asked.type !== 'calWrite') throw new Error(asked.type);
      this.writes += 1;
      this.area.set(this.spoil(this.writes, asked.data), asked.offset);
      return { offset: asked.offset, count: asked.data.length };
    };
    return { request } as unknown as ProbeLink;
  }
}

describe('a calibration written into the probe', () => {
  test('is there', async () => {
    const memory = new Memory();
    await storeInProbe(memory.link, block('NEW'));
    expect(decodeCalibrationBlock(memory.area)).toMatchObject({ state: 'valid', block: { setId: 'NEW' } });
  });

  test('that comes back as another is taken back: the one before stands', async () => {
    const memory = new Memory();
    memory.area.set(encodeCalibrationBlock(block('OLD')));
    const wrong = (data: Uint8Array) => data.map((byte, i) => (i === 3 ? byte ^ 1 : byte));
    memory.spoil = (write, data) => (write === 2 ? wrong(data) : data);
    await expect(storeInProbe(memory.link, block('NEW'))).rejects.toMatchObject({
      code: 'calibration.not-written',
      message: expect.stringContaining('put back'),
    });
    expect(decodeCalibrationBlock(memory.area)).toMatchObject({ state: 'valid', block: { setId: 'OLD' } });
  });

  test('over a memory that is broken says that nothing in it may be relied on, and what is in it is no calibration', async () => {
    const memory = new Memory();
    memory.area.set(encodeCalibrationBlock(block('OLD')));
    memory.spoil = (_, data) => data.map((byte, i) => (i === 8 ? byte ^ 0x10 : byte));
    await expect(storeInProbe(memory.link, block('NEW'))).rejects.toMatchObject({
      message: expect.stringContaining('no calibration in it may be relied on'),
    });
    expect(decodeCalibrationBlock(memory.area).state).not.toBe('valid');
  });
});

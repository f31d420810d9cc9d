import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { emulatedDevice } from '../../../src/cli/job/simulator.ts';
import { exampleGuide } from '../../support/example-guide.ts';

const at = (path: string): string => fileURLToPath(new URL(`../../../${path}`, import.meta.url));
const guide = exampleGuide('field-recorder');

test('the emulated device is of the guide in hand unless another is named', async () => {
  expect((await emulatedDevice(guide, { fault: [] })).guide).toBe(guide);
});

test('faults are of the device, whatever the guide in hand calls its points', async () => {
  const device = at('tests/fixtures/guides/field-recorder.yaml');
  const emulated = await emulatedDevice(guide, { fault: ['trace-a=short:JC_D'], device });
  expect(emulated.faults).toEqual([{ link: 'trace-a', mode: 'short', node: 'JC_D' }]);
  await expect(emulatedDevice(guide, { fault: ['trace-a=short:JC_D'] })).rejects.toMatchObject({ code: 'usage.fault' });
});

test('a device that lacks what the guide asks for is refused', async () => {
  const device = at('examples/two-stage-key.yaml');
  await expect(emulatedDevice(guide, { fault: [], device })).rejects.toMatchObject({ code: 'usage.device' });
});

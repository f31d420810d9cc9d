import { expect, test } from 'vitest';
import packageJson from '../../../package.json' with { type: 'json' };
import { toolName, toolVersion } from '../../../src/cli/program/tool-name.ts';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

test('the version stands once in the program, and is that of the package', async () => {
  expect(toolVersion).toBe(packageJson.version);
  expect(toolName).toBe(`ohmwright ${packageJson.version}`);
  expect((await cli(scratch(), ['--version'])).terminal.outLines).toEqual([packageJson.version]);
});
